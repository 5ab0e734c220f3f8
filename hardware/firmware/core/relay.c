// One line's buffer each way.
#include "relay.h"

#include <string.h>

#include "flash.h"
#include "frame.h"
#include "port.h"

// Ten bits at 9600 baud.
#define BYTE_TICKS UINT32_C(2083)

static frame_t up;
static bool has_up;
static char down[FRAME_MOST];
static uint8_t down_length;  // 0: none under way
static uint8_t down_sent;    // bytes, with the ':'
static uint32_t down_at;
static bool is_kept_back;

void relay_start(void) {
  frame_start(&up);
  has_up = false;
  down_length = 0;
}

static const IN_FLASH char host_types[] = "IQANWS";
static const IN_FLASH char box_types[] = "BEHRG";

static bool is_one_of(char type, const IN_FLASH char *types) {
  while (*types != 0 && *types != type) types++;
  return *types != 0;
}

uint8_t relay_listen(void) {
  uint8_t bad = 0;
  uint8_t byte;
  stamp_t at;
  while (!has_up && port_take_second(&byte, &at)) {
    frame_result_t result = frame_byte(&up, byte, at);
    if (result == FRAME_BAD) bad++;
    if (result != FRAME_LINE) continue;
    heard_t line;
    // A line of the host is an echo of what went out.
    if (!hear_line(up.text, up.length, &line)) bad++;
    else has_up = !is_one_of(line.type, host_types);
  }
  return bad;
}

bool relay_has_line(void) {
  return has_up;
}

void relay_pass_on(void) {
  port_send(':');
  for (uint8_t i = 0; i < up.length; i++) port_send((uint8_t)up.text[i]);
  port_send('\n');
  has_up = false;
}

void relay_take(const char *text, uint8_t length, const heard_t *line, stamp_t began) {
  if (down_length != 0 || is_one_of(line->type, box_types)) return;
  memcpy(down, text, length);
  down_length = length;
  down_sent = 0;
  is_kept_back = line->type == 'Q';
  // The answer's ':' gets here a byte's time before the rest, as this one's gets there.
  down_at = stamp_ticks(began) + BYTE_TICKS * (length + 1u);
}

void relay_turn(stamp_t now) {
  if (down_length == 0 || !port_is_second_idle()) return;
  if (is_kept_back && ticks_since(stamp_ticks(now), down_at) < 0) return;
  is_kept_back = false;
  if (down_sent > down_length) {
    port_send_second('\n');
    down_length = 0;
    return;
  }
  port_send_second(down_sent == 0 ? ':' : (uint8_t)down[down_sent - 1u]);
  down_sent = (uint8_t)(down_sent + 1u);
}
