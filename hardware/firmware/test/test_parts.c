// Clock, passing machine, transponder record, chance: each by itself.
#include <stdio.h>
#include <string.h>

#include "bench.h"
#include "check.h"
#include "pass.h"
#include "random.h"
#include "tag.h"

// A count captured just before or after the timer ran over, seen with the overflow counted or not.
void test_stamp(void) {
  CHECK_NUMBER(stamp_us(stamp_extend(7, false, 0xFFFF)), ((7LL << 16) | 0xFFFF) / 2);
  CHECK_NUMBER(stamp_us(stamp_extend(7, true, 0xFFFE)), ((7LL << 16) | 0xFFFE) / 2);
  CHECK_NUMBER(stamp_us(stamp_extend(7, true, 3)), ((8LL << 16) | 3) / 2);
  CHECK_NUMBER(stamp_us(stamp_extend(8, false, 3)), ((8LL << 16) | 3) / 2);
  CHECK_NUMBER(stamp_us(stamp_extend(UINT32_MAX, false, 0xFFFF)), 140737488355327LL);
  CHECK_NUMBER(ticks_since(5, UINT32_MAX - 4), 10);
  CHECK_NUMBER(ticks_since(UINT32_MAX - 4, 5), -10);
  for (uint64_t back = 0; back < 65536; back += 257) {
    uint64_t now = (UINT64_C(1) << 33) + 100;
    stamp_t then = stamp_before(bench_stamp(now), (uint16_t)(now - back));
    CHECK_NUMBER(stamp_us(then), (now - back) / 2);
  }
  uint16_t state = 1;
  int steps = 0;
  do steps++;
  while (random_next(&state) != 1);
  CHECK_NUMBER(steps, 65535);
}

// --- Passings -----------------------------------------------------------------------------------

static pass_t pass;
static char told[64];  // kinds
static uint64_t told_us[64];
static uint16_t told_aux[64];
static int tellings;

static void note(const moment_t *moment) {
  told[tellings] = moment->kind;
  told_us[tellings] = stamp_us(moment->at);
  told_aux[tellings] = moment->aux;
  told[++tellings] = 0;
}

static void time_to(uint64_t us) {
  moment_t moment;
  while (pass_time(&pass, bench_stamp(us * 2), &moment)) note(&moment);
}

static void edge_at(uint64_t us, bool is_blocked) {
  moment_t moment;
  edge_t edge = {bench_stamp(us * 2), is_blocked};
  time_to(us);
  if (pass_edge(&pass, edge, &moment)) note(&moment);
}

static void armed_at(uint64_t us, bool is_blocked) {
  moment_t moment;
  tellings = 0;
  told[0] = 0;
  pass_start(&pass, bench_stamp((us - 50000) * 2));
  pass_limits(&pass, BLOCK_US_DEFAULT, REARM_US_DEFAULT);
  CHECK(!pass_settle(&pass, bench_stamp((us - 1) * 2), is_blocked, &moment));
  if (pass_settle(&pass, bench_stamp(us * 2), is_blocked, &moment)) note(&moment);
}

// Wheel, spokes, frame, wheel: `blocks` blockings of `block_us`, `gap_us` apart.
static uint64_t ride(uint64_t us, int blocks, uint64_t block_us, uint64_t gap_us) {
  for (int i = 0; i < blocks; i++) {
    edge_at(us, true);
    us += block_us;
    edge_at(us, false);
    us += gap_us;
  }
  return us - gap_us;
}

static void bikes_and_walkers(uint64_t from) {
  armed_at(from, false);
  // 16 m/s: 60 mm of tyre and rim block for 3.7 ms, thirty times in a bike of 1.8 m.
  uint64_t end = ride(from + 1000, 30, 3700, 50);
  time_to(end + 799999);
  CHECK_TEXT(told, "B");
  time_to(end + 800000);
  CHECK_TEXT(told, "BC");
  CHECK_NUMBER(told_us[0], from + 1000);
  CHECK_NUMBER(told_us[1], end);
  CHECK_NUMBER(told_aux[1], 30);

  // 1.5 m/s, with holes of 0.3 m.
  uint64_t slow = end + 900000;
  end = ride(slow, 6, 100000, 200000);
  time_to(end + 800000);
  CHECK_TEXT(told, "BCBC");
  CHECK_NUMBER(told_us[2], slow);
  CHECK_NUMBER(told_us[3], end);
  CHECK_NUMBER(told_aux[3], 6);

  // A walker: one long blocking, or legs.
  uint64_t walk = end + 900000;
  end = ride(walk, 1, 1800000, 0);
  time_to(end + 800000);
  CHECK_TEXT(told, "BCBCBC");
  CHECK_NUMBER(told_us[5], end);
  CHECK_NUMBER(told_aux[5], 1);
  CHECK_NUMBER(pass.glitches, 0);
}

static void glitches(uint64_t from) {
  armed_at(from, false);
  for (uint64_t i = 0; i < 20; i++) ride(from + 1000 + i * 10000, 1, 1999, 0);
  time_to(from + 5000000);
  CHECK_TEXT(told, "");
  CHECK_NUMBER(pass.glitches, 20);
  // Exactly long enough, however late the edges are looked at.
  edge_at(from + 6000000, true);
  edge_at(from + 6002000, false);
  CHECK_TEXT(told, "B");
  CHECK_NUMBER(told_us[0], from + 6000000);
  // A short blocking inside a passing belongs to it.
  ride(from + 6010000, 1, 300, 0);
  time_to(from + 8000000);
  CHECK_TEXT(told, "BC");
  CHECK_NUMBER(told_us[1], from + 6010300);
  CHECK_NUMBER(told_aux[1], 2);
  CHECK_NUMBER(pass.glitches, 20);
  // An edge that tells nothing new changes nothing.
  edge_at(from + 8500000, false);
  CHECK_NUMBER(pass.state, PASS_ARMED);
}

static void down(uint64_t from) {
  armed_at(from, false);
  ride(from + 1000, 3, 5000, 5000);
  edge_at(from + 100000, true);
  time_to(from + 10099999);
  CHECK_TEXT(told, "B");
  time_to(from + 10100000);
  CHECK_TEXT(told, "BX");
  CHECK_NUMBER(told_us[1], from + 100000);
  // A time read before the edge was taken steps back: no half an hour.
  time_to(from + 99000);
  time_to(from + 60000000);
  edge_at(from + 61000000, false);
  CHECK_TEXT(told, "BXO");
  CHECK_NUMBER(told_us[2], from + 61000000);
  time_to(from + 70000000);
  CHECK_TEXT(told, "BXO");
  ride(from + 71000000, 1, 5000, 0);
  time_to(from + 80000000);
  CHECK_TEXT(told, "BXOBC");

  // Switched on with the beam blocked.
  armed_at(from, true);
  CHECK_TEXT(told, "X");
  CHECK_NUMBER(told_us[0], from);
  edge_at(from + 3000000, false);
  CHECK_TEXT(told, "XO");
}

static void deaf(void) {
  moment_t moment;
  tellings = 0;
  told[0] = 0;
  pass_start(&pass, bench_stamp(0));
  pass_limits(&pass, BLOCK_US_DEFAULT, REARM_US_DEFAULT);
  edge_at(10000, true);
  time_to(40000);
  edge_at(45000, false);
  CHECK(!pass_settle(&pass, bench_stamp(100000), false, &moment));
  time_to(900000);
  CHECK_TEXT(told, "");
  CHECK_NUMBER(pass.glitches, 0);
}

void test_pass(void) {
  // Around nothing in particular, the timer's wrap, and those of 32 bits of half and whole us.
  static const uint64_t from[] = {60000, 65536 * 31 - 1500, (UINT64_C(1) << 31) - 2000,
                                  (UINT64_C(1) << 32) - 2000, (UINT64_C(1) << 32) - 6001000,
                                  (UINT64_C(1) << 40) - 7000000};
  deaf();
  for (unsigned i = 0; i < sizeof from / sizeof *from; i++) {
    bikes_and_walkers(from[i]);
    glitches(from[i]);
    down(from[i]);
  }
  // More blockings than fit the count.
  armed_at(60000, false);
  ride(61000, 1, 3000, 0);
  for (uint64_t i = 0; i < 70000; i++) ride(70000 + i * 10, 1, 5, 0);
  time_to(3000000);
  CHECK_TEXT(told, "BC");
  CHECK_NUMBER(told_aux[1], 65535);
}

// --- Transponder --------------------------------------------------------------------------------

static tag_reader_t reader;
static int bad_tags;

// The tag of the last record in `bytes`, or "".
static const char *read_tag(const char *bytes) {
  static char text[TAG_MOST + 1];
  bad_tags = 0;
  text[0] = 0;
  for (; *bytes != 0; bytes++) {
    tag_result_t result = tag_byte(&reader, (uint8_t)*bytes);
    bad_tags += result == TAG_BAD;
    if (result != TAG_DONE) continue;
    memset(text, 0, sizeof text);
    for (uint8_t i = 0; i < TAG_MOST; i++) text[i] = tag_char(reader.packed, i);
  }
  return text;
}

void test_tag(void) {
  tag_start(&reader);
  CHECK_TEXT(read_tag("TA1B2C3D4\n"), "A1B2C3D4");
  CHECK_TEXT(read_tag("T7\n"), "7");
  CHECK_TEXT(read_tag("TT\n"), "T");
  CHECK_TEXT(read_tag("TZZZZZZZZ\n"), "ZZZZZZZZ");
  CHECK_TEXT(read_tag("T00000000\n"), "00000000");
  CHECK_TEXT(read_tag("TAB\nT1234567\n"), "1234567");
  CHECK_NUMBER(bad_tags, 0);
  static const char *bad[] = {"\n",        "T\n",     "A1B2\n",  "TABCDEFGHI\n", "TA1-B\n", "Ta1\n",
                              "TA1B2\r\n", "TA B\n",  " TAB\n", "TA\xFF\n",     "TA,B\n"};
  for (unsigned i = 0; i < sizeof bad / sizeof *bad; i++) {
    CHECK_TEXT(read_tag(bad[i]), "");
    CHECK_NUMBER(bad_tags, 1);
    CHECK_TEXT(read_tag("TOK\n"), "OK");
  }
  // Every character in every place, with every length.
  static const char all[] = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";
  for (int from = 0; from < 36; from++) {
    for (int length = 1; length <= 8; length++) {
      char tag[9] = {0}, bytes[11];
      for (int i = 0; i < length; i++) tag[i] = all[(from + i * 7) % 36];
      snprintf(bytes, sizeof bytes, "T%s\n", tag);
      CHECK_TEXT(read_tag(bytes), tag);
    }
  }
}
