// Lines: the published examples byte for byte, the longest ones, broken ones.
#include <stdio.h>
#include <string.h>

#include "bench.h"
#include "check.h"
#include "crc.h"
#include "frame.h"
#include "hear.h"
#include "say.h"

#ifndef PROTOCOL
#define PROTOCOL "../README.md"  // where the protocol is published
#endif

static ring_t ring;
static const speaker_t s1 = {"S1", 0x0012};

static event_t event_of(char kind, uint8_t role, uint64_t us, uint16_t aux) {
  event_t event;
  memset(&event, 0, sizeof event);
  event.at = bench_stamp(us * 2);
  event.battery_mv = 3760;
  event.beam_percent = 98;
  for (unsigned i = 0; say_kinds[i] != 0; i++) {
    if (say_kinds[i] == kind) event.kind = i & 0xFu;
  }
  event.role = role & 0xFu;
  event.aux = aux;
  return event;
}

static void held(uint32_t oldest, uint32_t next) {
  ring_start(&ring);
  ring.oldest_seq = oldest;
  ring.next_seq = next;
}

static const char *last(void) {
  return bench_lines == 0 ? "" : bench_line[bench_lines - 1];
}

static void say_examples(void) {
  bench_start();
  held(143, 145);
  say_boot(s1, ROLE_START, bench_stamp(2 * UINT64_C(1235500000)), &ring);
  CHECK_TEXT(last(), ":1B,S1,0012,S,1235500000,143,145,1.0.0,500*D413");
  bench_ticks += 20000;
  event_t event = event_of('B', ROLE_START, 1234567890, 0);
  say_event(s1, 143, &event);
  CHECK_TEXT(last(), ":1E,S1,0012,143,S,B,1234567890,0,-,3760,98*513E");
  bench_ticks += 20000;
  event = event_of('C', ROLE_START, 1234981554, 14);
  say_event(s1, 144, &event);
  CHECK_TEXT(last(), ":1E,S1,0012,144,S,C,1234981554,14,-,3760,98*550E");
  bench_ticks += 20000;
  held(145, 145);
  health_t health = {3760, 98, 2, 0, 0};
  say_heartbeat(s1, bench_stamp(2 * UINT64_C(1236000000)), &ring, &health);
  CHECK_TEXT(last(), ":1H,S1,0012,1236000000,145,145,3760,98,2,0,0*CD2E");
  bench_ticks = 2 * UINT64_C(1237004480);
  query_t query = {1, 15, "7", "000081234567890", bench_stamp(2 * UINT64_C(1237000120) + 1)};
  say_reply(s1, &query);
  CHECK_TEXT(last(),
             ":1R,S1,0012,7,000081234567890,000001237000120,000001237004480*EC84");
  bench_ticks += 20000;
  say_gone(s1, 143, 144);
  CHECK_TEXT(last(), ":1G,S1,0012,143,144*C872");
  // CRC worked out by the bitwise routine of these tests, and by the project's TypeScript encoder.
  bench_ticks += 20000;
  speaker_t f1 = {"F1", 0x0007};
  event = event_of('T', ROLE_FINISH, 998877665, 0);
  event.battery_mv = 3810;
  event.beam_percent = 100;
  tag_reader_t reader;
  tag_start(&reader);
  for (const char *c = "TA1B2C3D4\n"; *c != 0; c++) tag_byte(&reader, (uint8_t)*c);
  memcpy(event.tag, reader.packed, sizeof event.tag);
  say_event(f1, 12, &event);
  CHECK_TEXT(last(), ":1E,F1,0007,12,F,T,998877665,0,A1B2C3D4,3810,100*CCAF");
}

// Nothing a box can say is longer than a line.
static void say_longest(void) {
  speaker_t who = {"ZZZZ", 0xFFFF};
  stamp_t end = {UINT32_MAX, UINT16_MAX};
  held(10000000, 10000000);
  health_t health = {9999, 100, 65535, 65535, 65535};
  bench_start();
  say_heartbeat(who, end, &ring, &health);
  CHECK_NUMBER(strlen(last()), 79);
  CHECK(strstr(last(), ",140737488355327,10000000,10000000,9999,100,65535,65535,65535*") != NULL);
  bench_ticks += 20000;
  say_boot(who, ROLE_LAST, end, &ring);
  CHECK(strlen(last()) < 80);
  CHECK(strstr(last(), ",P9,") != NULL);
  bench_ticks += 20000;
  event_t event = event_of('C', ROLE_LAST, 0, 65535);
  event.at = end;
  say_event(who, RING_LAST_SEQ, &event);
  CHECK(strlen(last()) < 80);
  bench_ticks = (UINT64_C(1) << 48) - 1;
  query_t query = {9, 15, "999999999", "999999999999999", end};
  say_reply(who, &query);
  CHECK_NUMBER(strlen(last()), 76);
  bench_start();
  held(1, 1);
  stamp_t zero = {0, 1};
  health_t none = {0, 0, 0, 0, 0};
  say_heartbeat(s1, zero, &ring, &none);
  CHECK(strncmp(last(), ":1H,S1,0012,0,1,1,0,0,0,0,0*", 28) == 0);
}

// --- Hearing ------------------------------------------------------------------------------------

static bool is_sound(const char *line, heard_t *heard) {
  return line[0] == ':' && hear_line(line + 1, (uint8_t)strlen(line + 1), heard);
}

// Every line that is printed in the published protocol is sound, and known to these tests.
static void published(void) {
  static const char *known[] = {
      ":1E,S1,0012,143,S,B,1234567890,0,-,3760,98*513E",
      ":1I,?*D996",
      ":1B,S1,0012,S,1235500000,143,145,1.0.0,500*D413",
      ":1E,S1,0012,144,S,C,1234981554,14,-,3760,98*550E",
      ":1A,S1,0012,144*5F03",
      ":1H,S1,0012,1236000000,145,145,3760,98,2,0,0*CD2E",
      ":1Q,S1,7,000081234567890,....................................*5D16",
      ":1R,S1,0012,7,000081234567890,000001237000120,000001237004480*EC84"};
  enum { KNOWN = sizeof known / sizeof *known };
  bool is_seen[KNOWN] = {false};
  FILE *file = fopen(PROTOCOL, "r");
  CHECK(file != NULL);
  if (file == NULL) return;
  char text[512];
  while (fgets(text, sizeof text, file) != NULL) {
    char *at = strstr(text, ":1");
    size_t length = at == NULL ? 0 : strcspn(at, "` \n");
    if (length < 7 || at[length - 5] != '*') continue;
    at[length] = 0;
    bool is_known = false;
    for (int i = 0; i < KNOWN; i++) {
      if (strcmp(at, known[i]) == 0) is_known = is_seen[i] = true;
    }
    if (!is_known) CHECK_TEXT(at, "a line that these tests know");
    heard_t heard;
    CHECK(is_sound(at, &heard));
  }
  fclose(file);
  for (int i = 0; i < KNOWN; i++) CHECK(is_seen[i]);
}

static void fields(void) {
  heard_t heard;
  uint32_t number;
  uint16_t boot;
  CHECK(is_sound(":1A,S1,0012,144*5F03", &heard));
  CHECK_NUMBER(heard.type, 'A');
  CHECK_NUMBER(heard.fields, 3);
  CHECK(hear_is(&heard, 0, "S1") && !hear_is(&heard, 0, "S") && !hear_is(&heard, 0, "S12"));
  CHECK(hear_is_id(&heard, 0) && hear_is_id(&heard, 1) && !hear_is_id(&heard, 3));
  CHECK(hear_boot(&heard, 1, &boot) && boot == 0x12);
  CHECK(hear_number(&heard, 2, 8, &number) && number == 144);
  CHECK(!hear_number(&heard, 2, 2, &number) && !hear_number(&heard, 0, 8, &number));
  CHECK(!hear_number(&heard, 3, 8, &number) && !hear_boot(&heard, 0, &boot));
  CHECK(is_sound(":1I,?*D996", &heard) && !hear_is_id(&heard, 0));

  char line[200];
  bench_checked(line, "1AB,S1");
  CHECK(is_sound(line, &heard) && heard.type == 0);
  bench_checked(line, "1,S1");
  CHECK(is_sound(line, &heard) && heard.type == 0);
  bench_checked(line, "1A,,,");
  CHECK(is_sound(line, &heard) && heard.fields == 3 && heard.length[2] == 0);
  bench_checked(line, "1A");
  CHECK(is_sound(line, &heard) && heard.type == 'A' && heard.fields == 0);
  bench_checked(line, "1A,S1,0012,1,more,and,more");
  CHECK(is_sound(line, &heard) && heard.fields == 4);
  bench_checked(line, "2A,S1,0012,1");
  CHECK(!is_sound(line, &heard));
  static const char *bad[] = {":1A,S1,0012,144*5F04", ":1A,S1,0012,144*5f03", ":1A,S1,0012,144",
                              ":1A,S1,0012,145*5F03", ":*1D0F",               ":",
                              ":5F03",                ":*5F03",               ":1A,S1,0012,144*5F0"};
  for (unsigned i = 0; i < sizeof bad / sizeof *bad; i++) CHECK(!is_sound(bad[i], &heard));
}

// --- Framing ------------------------------------------------------------------------------------

static frame_t frame;
static int framed, dropped;
static char newest[FRAME_MOST + 1];

static void feed(const char *bytes) {
  framed = dropped = 0;
  newest[0] = 0;
  stamp_t at = {0, 0};
  for (; *bytes != 0; bytes++, at.count++) {
    frame_result_t result = frame_byte(&frame, (uint8_t)*bytes, at);
    dropped += result == FRAME_BAD;
    if (result != FRAME_LINE) continue;
    framed++;
    memcpy(newest, frame.text, frame.length);
    newest[frame.length] = 0;
  }
}

static void framing(void) {
  frame_start(&frame);
  feed("abc\n:1I,?*D996\r\n");
  CHECK_NUMBER(framed, 1);
  CHECK_NUMBER(dropped, 1);
  CHECK_TEXT(newest, "1I,?*D996");
  CHECK_NUMBER(frame.began.count, 4);
  feed(":1A,S1,:1I,?*D996\n");  // a line feed was lost
  CHECK_NUMBER(framed, 1);
  CHECK_NUMBER(dropped, 1);
  CHECK_TEXT(newest, "1I,?*D996");
  CHECK_NUMBER(frame.began.count, 7);
  feed(":one\n:two\n");
  CHECK_NUMBER(framed, 2);
  feed(":a\x1Fz\n:a\x7Fz\n:a\x80z\n:ok\n");
  CHECK_NUMBER(framed, 1);
  CHECK_NUMBER(dropped, 3);
  // 78 bytes between ':' and line feed make 80; the 79th drops the line.
  char text[90];
  memset(text, 'x', sizeof text);
  text[0] = ':';
  text[79] = '\n';
  text[80] = 0;
  feed(text);
  CHECK_NUMBER(framed, 1);
  CHECK_NUMBER(frame.length, 78);
  text[79] = 'x';
  text[80] = '\n';
  text[81] = 0;
  feed(text);
  CHECK_NUMBER(framed, 0);
  CHECK_NUMBER(dropped, 1);
  feed(":ok\n");
  CHECK_NUMBER(framed, 1);
}

void test_line(void) {
  // Check value of CRC-16/IBM-3740 in the catalogue of parametrised CRC algorithms.
  uint16_t crc = CRC_START;
  for (const char *c = "123456789"; *c != 0; c++) crc = crc_add(crc, (uint8_t)*c);
  CHECK_NUMBER(crc, 0x29B1);
  CHECK_NUMBER(bench_crc("123456789", 9), 0x29B1);
  say_examples();
  say_longest();
  published();
  fields();
  framing();
}
