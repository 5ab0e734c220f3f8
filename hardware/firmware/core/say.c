// Decimal by subtraction: the chip has no division, and a line's numbers take a tenth of its time on
// the wire this way.
#include "say.h"

#include "crc.h"
#include "flash.h"
#include "port.h"

#define US_DIGITS 15u
#define WORD_DIGITS 10u  // of 32 bits

const IN_FLASH char say_kinds[] = "BCTMXO";

static const IN_FLASH char about[] = "," FIRMWARE_VERSION ",500";

static uint16_t crc;

static void put(char c) {
  crc = crc_add(crc, (uint8_t)c);
  port_send((uint8_t)c);
}

static const IN_FLASH uint64_t powers[US_DIGITS] = {
    UINT64_C(100000000000000), UINT64_C(10000000000000), UINT64_C(1000000000000),
    UINT64_C(100000000000),    UINT64_C(10000000000),    UINT64_C(1000000000),
    UINT64_C(100000000),       UINT64_C(10000000),       UINT64_C(1000000),
    UINT64_C(100000),          UINT64_C(10000),          UINT64_C(1000),
    UINT64_C(100),             UINT64_C(10),             UINT64_C(1),
};

// At least `digits` of them, with leading zeros.
static void put_number(uint64_t value, uint8_t digits) {
  bool has_begun = false;
  uint8_t from = value <= UINT32_MAX && digits <= WORD_DIGITS ? US_DIGITS - WORD_DIGITS : 0;
  for (uint8_t i = from; i < US_DIGITS; i++) {
    uint64_t power = powers[i];
    char digit = '0';
    for (; value >= power; value -= power) digit++;
    if (digit != '0' || US_DIGITS - i <= digits) has_begun = true;
    if (has_begun) put(digit);
  }
}

static void put_count(uint32_t value) {
  put(',');
  put_number(value, 1);
}

static void put_padded(stamp_t at) {
  put(',');
  put_number(stamp_us(at), US_DIGITS);
}

static void put_us(stamp_t at) {
  put(',');
  put_number(stamp_us(at), 1);
}

static void put_hex(uint16_t value) {
  for (uint8_t i = 0; i < 4; i++, value = (uint16_t)(value << 4)) {
    uint8_t digit = (uint8_t)(value >> 12);
    put((char)(digit < 10 ? '0' + digit : 'A' + digit - 10));
  }
}

static void put_role(uint8_t role) {
  put(',');
  if (role <= ROLE_FINISH) {
    put(role == ROLE_START ? 'S' : 'F');
    return;
  }
  put('P');
  put((char)('0' + role - (int)ROLE_FINISH));
}

// After the ':', which is not in the check.
static void begin(char type, speaker_t who) {
  crc = CRC_START;
  put('1');
  put(type);
  put(',');
  for (uint8_t i = 0; who.id[i] != 0; i++) put(who.id[i]);
  put(',');
  put_hex(who.boot);
}

static void end(void) {
  uint16_t check = crc;
  put('*');
  put_hex(check);
  port_send('\n');
}

void say_boot(speaker_t who, uint8_t role, stamp_t now, const ring_t *ring) {
  port_send(':');
  begin('B', who);
  put_role(role);
  put_us(now);
  put_count(ring->oldest_seq);
  put_count(ring->next_seq);
  for (uint8_t i = 0; about[i] != 0; i++) put(about[i]);
  end();
}

void say_event(speaker_t who, uint32_t seq, const event_t *event) {
  port_send(':');
  begin('E', who);
  put_count(seq);
  put_role(event->role);
  put(',');
  char kind = say_kinds[event->kind];
  put(kind);
  put_us(event->at);
  put_count(kind == 'T' ? 0 : event->aux);
  put(',');
  if (kind == 'T') {
    for (uint8_t i = 0; i < TAG_MOST && tag_char(event->tag, i) != 0; i++) {
      put(tag_char(event->tag, i));
    }
  } else {
    put('-');
  }
  put_count(event->battery_mv);
  put_count(event->beam_percent);
  end();
}

void say_heartbeat(speaker_t who, stamp_t now, const ring_t *ring, const health_t *health) {
  port_send(':');
  begin('H', who);
  put_us(now);
  put_count(ring->oldest_seq);
  put_count(ring->next_seq);
  put_count(health->battery_mv);
  put_count(health->beam_percent);
  put_count(health->glitches);
  put_count(health->overwritten);
  put_count(health->bad_input);
  end();
}

void say_gone(speaker_t who, uint32_t from, uint32_t to) {
  port_send(':');
  begin('G', who);
  put_count(from);
  put_count(to);
  end();
}

void say_reply(speaker_t who, const query_t *query) {
  stamp_t t3 = port_send_now(':');
  begin('R', who);
  put(',');
  for (uint8_t i = 0; i < query->token_length; i++) put(query->token[i]);
  put(',');
  for (uint8_t i = query->t1_length; i < US_DIGITS; i++) put('0');
  for (uint8_t i = 0; i < query->t1_length; i++) put(query->t1[i]);
  put_padded(query->t2);
  put_padded(t3);
  end();
}
