// The whole box on a bench: what is put in at its pins and ports, and what it says. The relay and
// random input come last.
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "bench.h"
#include "check.h"

// Not linked: the tests set its next number.
#include "../core/box.c"

#define TURN_TICKS 200u  // 0.1 ms, about what the chip takes

static void run_ms(uint32_t ms) {
  for (uint64_t end = bench_ticks + (uint64_t)ms * TICKS_PER_MS; bench_ticks < end;) {
    box_turn();
    bench_ticks += TURN_TICKS;
  }
}

static void start_box(void) {
  bench_start();
  box_start();
  run_ms(100);
}

static void reset_box(void) {
  bench_power_on();
  box_start();
}

static void hear_bytes(const char *bytes) {
  for (; *bytes != 0; bytes++) {
    box_host_byte((uint8_t)*bytes, port_now());
    bench_ticks += 170;
  }
}

// Without ':' and check.
static void say_to_box(const char *payload) {
  char line[120];
  bench_checked(line, payload);
  hear_bytes(line);
  hear_bytes("\n");
}

// `%s` of `shape` is the boot number.
static void tell(const char *shape) {
  char text[100], hex[5];
  snprintf(hex, sizeof hex, "%04X", (unsigned)boot);
  snprintf(text, sizeof text, shape, hex);
  say_to_box(text);
}

// Acknowledges all, as fast as the window lets it out.
static void acknowledge(void) {
  run_ms(10);
  for (int i = 0; i < 100 && ring.oldest_seq < ring.next_seq; i++) {
    char text[40];
    snprintf(text, sizeof text, "1A,S1,%%s,%u", (unsigned)ring.last_sent);
    tell(text);
    run_ms(10);
  }
  CHECK_NUMBER(ring.oldest_seq, ring.next_seq);
}

static void pass_beam(uint32_t pulses) {
  for (uint32_t i = 0; i < pulses; i++) {
    bench_beam(true);
    run_ms(5);
    bench_beam(false);
    run_ms(8);
  }
}

// Field `n` of a line, counted from the type.
static const char *field(const char *line, int n) {
  static char text[40];
  for (; n > 0 && *line != 0; line++) n -= *line == ',';
  size_t length = strcspn(line, ",*");
  snprintf(text, sizeof text, "%.*s", (int)length, line);
  return text;
}

static unsigned bad_so_far(void) {
  run_ms(2);
  return bad_input;
}

static void passing(void) {
  start_box();
  CHECK_NUMBER(bench_count("B"), 1);
  CHECK(strncmp(bench_line[0], ":1B,S1,0001,S,0,1,1,1.0.0,500*", 30) == 0);
  pass_beam(9);
  CHECK_NUMBER(bench_count("E"), 1);
  CHECK(strncmp(bench_last("E"), ":1E,S1,0001,1,S,B,100000,0,-,3760,100*", 38) == 0);
  tell("1A,S1,%s,1");
  run_ms(900);
  CHECK(strncmp(bench_last("E"), ":1E,S1,0001,2,S,C,209000,9,-,3760,100*", 38) == 0);
  tell("1A,S1,%s,2");
  bench_beam(true);
  run_ms(1);
  bench_beam(false);
  run_ms(3000);
  CHECK_NUMBER(bench_count("E"), 2);
  CHECK_TEXT(field(bench_last("H"), 3 + 2), "3");
  CHECK_TEXT(field(bench_last("H"), 8), "1");  // glitches
  bench_beam(true);
  run_ms(100);
  acknowledge();
  run_ms(10000);
  CHECK_TEXT(field(bench_last("E"), 5), "X");
  run_ms(5000);
  CHECK_TEXT(field(bench_last("H"), 7), "0");  // beam
  bench_beam(false);
  acknowledge();
  CHECK_TEXT(field(bench_last("E"), 5), "O");

  // A torn cable: blocked from the start.
  bench_start();
  bench_beam(true);
  box_start();
  run_ms(100);
  CHECK_TEXT(field(bench_last("E"), 5), "X");
  CHECK_NUMBER(bench_count("E"), 1);
}

static void button_and_reader(void) {
  start_box();
  for (int i = 0; i < 20; i++) {  // bounces
    bench_button(true);
    run_ms(1);
    bench_button(false);
    run_ms(1);
  }
  bench_button(true);
  run_ms(900);
  for (int i = 0; i < 20; i++) {
    bench_button(false);
    run_ms(1);
    bench_button(true);
    run_ms(1);
  }
  bench_button(false);
  run_ms(200);
  CHECK_NUMBER(ring.next_seq, 2);
  CHECK(strncmp(bench_line[1], ":1E,S1,0001,1,S,M,100000,0,-,", 29) == 0);
  bench_button(true);
  run_ms(300);
  bench_button(false);
  CHECK_NUMBER(ring.next_seq, 3);
  // Held down while switched on: no press.
  start_box();
  tell("1A,S1,%s,2");
  for (const char *c = "TA1B2C3D4\n"; *c != 0; c++) {
    bench_second((uint8_t)*c);
    if (*c != '\n') run_ms(1);
  }
  uint64_t end = bench_ticks / 2;
  run_ms(10);
  char shape[80];
  snprintf(shape, sizeof shape, ":1E,S1,0001,1,S,T,%llu,0,A1B2C3D4,3760,100*",
           (unsigned long long)end);
  CHECK(strncmp(bench_last("E"), shape, strlen(shape)) == 0);
  for (const char *c = "garbage\nT7\n"; *c != 0; c++) bench_second((uint8_t)*c);
  run_ms(10);
  CHECK_TEXT(field(bench_last("E"), 7 + 1), "7");
  CHECK_NUMBER(bad_so_far(), 1);
}

static void clock_questions(void) {
  start_box();
  uint64_t asked = bench_ticks;
  say_to_box("1Q,S1,7,000081234567890,....................................");
  run_ms(10);
  char line[120], payload[100];
  // The instant at which its ':' left is the one that it tells.
  uint64_t left = bench_line_at[bench_lines - 1];
  snprintf(payload, sizeof payload, "1R,S1,0001,7,000081234567890,%015llu,%015llu",
           (unsigned long long)asked / 2, (unsigned long long)left / 2);
  bench_checked(line, payload);
  CHECK_TEXT(bench_last("R"), line);
  CHECK_NUMBER(strlen(bench_last("R")), strlen(":1Q,S1,7,000081234567890,") + 36 + 5);
  // Two lines back to back, with passings at the same time: both heard, t3 still true.
  for (int i = 0; i < 50; i++) {
    bench_beam(true);
    run_ms(3);
    bench_beam(false);
    uint64_t before = bench_ticks;
    int replies = bench_count("R");
    char text[40];
    snprintf(text, sizeof text, "1A,S1,%%s,%u", (unsigned)ring.last_sent);
    tell(text);
    say_to_box("1Q,S1,123456789,000000000000001,....................................");
    run_ms(30);
    CHECK_NUMBER(bench_count("R"), replies + 1);
    for (int k = bench_lines - 1; k >= 0; k--) {
      if (bench_line[k][2] != 'R') continue;
      CHECK_NUMBER(strtoull(field(bench_line[k], 6), NULL, 10), bench_line_at[k] / 2);
      CHECK(bench_line_at[k] > before);
      break;
    }
    run_ms(900);
  }
  CHECK(ring.oldest_seq > 90);
  CHECK_NUMBER(bad_so_far(), 0);
  // No question for all, none without digits.
  int replies = bench_count("R");
  say_to_box("1Q,?,7,000081234567890,....................................");
  say_to_box("1Q,F1,7,000081234567890,....................................");
  say_to_box("1Q,S1,x,000081234567890,....................................");
  run_ms(20);
  CHECK_NUMBER(bench_count("R"), replies);
}

static void identify(void) {
  long least = 1000000, most = 0;
  for (int i = 0; i < 40; i++) {
    start_box();
    chance = (uint16_t)(i * 1543 + 1);
    pass_beam(1);
    uint64_t asked = bench_ticks;
    int before = bench_lines;
    say_to_box(i % 2 == 0 ? "1I,?" : "1I,S1");
    run_ms(320);
    CHECK(bench_lines >= before + 2);
    if (bench_lines < before + 2) return;
    CHECK(bench_line[before][2] == 'B' && bench_line[before + 1][2] == 'E');
    CHECK_TEXT(field(bench_line[before], 4 + 2), "2");
    long after = (long)(bench_line_at[before] - asked) / 2000;
    if (after < least) least = after;
    if (after > most) most = after;
  }
  CHECK(least < 30 && most > 250 && most < 305);
}

static void settings_by_line(void) {
  start_box();
  say_to_box("1W,S1,P1,P1");
  run_ms(50);
  CHECK(strncmp(bench_last("B"), ":1B,P1,0001,P1,", 15) == 0);
  say_to_box("1S,P1,rearm_us,300000");
  say_to_box("1S,P1,block_us,5000");
  run_ms(50);
  CHECK(strncmp(bench_last("B"), ":1B,P1,0001,P1,", 15) == 0);
  int boots = bench_count("B");
  say_to_box("1W,S1,F1,F");  // nobody here of that name
  static const char *bad[] = {"1W,P1,F1,X",    "1W,P1,F1,P0",           "1W,P1,f1,F",
                              "1W,P1,ABCDE,F", "1W,P1,F1",              "1S,P1,block_us,499",
                              "1S,P1,colour,3", "1S,P1,rearm_us,99999999", "1S,P1,rearm_us,-5",
                              "1S,P1,aux,2",   "1A,P1,12,1",            "1A,P1,0001,x",
                              "1N,P1,0001",    "1I",                    "1I,??"};
  unsigned before = bad_so_far();
  for (unsigned i = 0; i < sizeof bad / sizeof *bad; i++) {
    say_to_box(bad[i]);
    run_ms(20);
    CHECK_NUMBER(bad_input, before + i + 1);
  }
  CHECK_NUMBER(bench_count("B"), boots);
  // What a box says, and what version 1 does not know yet, is no fault.
  say_to_box("1H,P1,0012,1236000000,145,145,3760,98,2,0,0");
  say_to_box("1Y,P1,5");
  CHECK_NUMBER(bad_so_far(), before + sizeof bad / sizeof *bad);

  // Switched off and on.
  reset_box();
  run_ms(100);
  CHECK(strncmp(bench_line[0], ":1B,P1,0002,P1,0,1,1,", 21) == 0);
  bench_beam(true);
  run_ms(4);
  bench_beam(false);
  run_ms(400);
  CHECK_NUMBER(pass.glitches, 1);
  bench_beam(true);
  run_ms(6);
  bench_beam(false);
  run_ms(298);
  CHECK_NUMBER(ring.next_seq, 2);
  run_ms(3);
  CHECK_NUMBER(ring.next_seq, 3);
  CHECK(strncmp(bench_last("E"), ":1E,P1,0002,2,P1,C,", 19) == 0);
}

static void losing(void) {
  start_box();
  for (uint32_t i = 0; i < 70; i++) add_event('M', port_now());
  run_ms(500);
  CHECK_NUMBER(bench_count("E"), 32);
  CHECK_TEXT(field(bench_last("E"), 3), "38");
  tell("1N,S1,%s,1");
  run_ms(20);
  CHECK(strncmp(bench_last("G"), ":1G,S1,0001,1,6*", 16) == 0);
  tell("1A,S1,FFFF,30");  // another boot
  run_ms(10);
  CHECK_NUMBER(ring.oldest_seq, 7);
  run_ms(2500);
  CHECK_TEXT(field(bench_last("H"), 9), "6");  // overwritten
  acknowledge();
  CHECK_NUMBER(ring.oldest_seq, 71);
}

// The 10 millionth event begins a new boot.
static void last_number(void) {
  start_box();
  ring.next_seq = ring.oldest_seq = ring.to_send = RING_LAST_SEQ - 1;
  ring.last_sent = RING_LAST_SEQ - 2;
  pass_beam(1);
  run_ms(900);
  CHECK_TEXT(field(bench_last("E"), 3), "9999999");
  CHECK(!bench_restarted);
  tell("1A,S1,%s,9999999");
  run_ms(5);
  CHECK(bench_restarted);
  reset_box();
  pass_beam(5);
  CHECK(strncmp(bench_last("E"), ":1E,S1,0002,1,S,B,", 18) == 0);
  // Not acknowledged, but another event comes.
  ring.next_seq = RING_LAST_SEQ + 1;
  ring.oldest_seq = RING_LAST_SEQ - 5;
  bench_button(true);
  run_ms(2);
  CHECK(bench_restarted);
}

// Heartbeats are a fifth early or late at most, and not all alike.
static void heartbeats(bool is_radio) {
  uint64_t every = is_radio ? 12000 : 2000;
  start_box();
  if (is_radio) say_to_box("1S,S1,link,1");
  run_ms(20000);
  uint64_t before = 0, least = UINT64_MAX, most = 0, sum = 0;
  int beats = 0;
  for (int line = bench_lines; beats < 120;) {
    run_ms(100);
    for (; line < bench_lines; line++) {
      if (bench_line[line][2] != 'H') continue;
      uint64_t at = bench_line_at[line] / 2000;
      if (before != 0) {
        uint64_t apart = at - before;
        if (apart < least) least = apart;
        if (apart > most) most = apart;
        sum += apart;
        beats++;
      }
      before = at;
    }
  }
  CHECK(least >= every * 8 / 10 - 1 && least < every * 84 / 100);
  CHECK(most <= every * 12 / 10 + 5 && most > every * 116 / 100);
  CHECK(sum / 120 > every * 95 / 100 && sum / 120 < every * 105 / 100);
}

// On the radio, 50 ms of silence after every line.
static void silence(void) {
  start_box();
  say_to_box("1S,S1,link,1");
  run_ms(200);
  int from = bench_lines;
  for (uint32_t i = 0; i < 20; i++) add_event('M', port_now());
  say_to_box("1Q,S1,7,000081234567890,....................................");
  say_to_box("1I,?");
  run_ms(5000);
  CHECK(bench_lines > from + 20);
  CHECK_NUMBER(bench_count("R"), 1);
  for (int i = from + 1; i < bench_lines; i++) {
    CHECK(bench_line_at[i] - bench_line_end[i - 1] >= 50 * TICKS_PER_MS);
  }
  say_to_box("1S,S1,link,2");
  run_ms(200);
  CHECK(!bench_is_slow);
  reset_box();
  CHECK(bench_is_slow);
}

// Four passings across 2^32 us, each at the instant at which it was.
static void wrap(void) {
  uint64_t was_us[4];
  bench_start();
  bench_ticks = (UINT64_C(1) << 33) - TICKS_PER_S;
  box_start();
  for (int i = 0; i < 4; i++) {
    run_ms(200);
    was_us[i] = bench_ticks / 2;
    pass_beam(20);
    acknowledge();
    run_ms(890);
    acknowledge();
  }
  CHECK(was_us[0] < UINT64_C(1) << 32 && was_us[1] > UINT64_C(1) << 32);
  CHECK_NUMBER(ring.next_seq, 9);
  for (int i = 0; i < bench_lines; i++) {
    if (bench_line[i][2] != 'E') continue;
    int seq = atoi(field(bench_line[i], 3));
    bool is_blocking = strcmp(field(bench_line[i], 5), "B") == 0;
    CHECK(is_blocking == (seq % 2 == 1));
    uint64_t us = strtoull(field(bench_line[i], 6), NULL, 10);
    uint64_t should = was_us[(seq - 1) / 2] + (is_blocking ? 0 : 19 * 13000 + 5000);
    CHECK_NUMBER(us, should);
  }
}

void test_box(void) {
  passing();
  button_and_reader();
  clock_questions();
  identify();
  settings_by_line();
  losing();
  last_number();
  heartbeats(false);
  heartbeats(true);
  silence();
  wrap();
}

// --- Relay --------------------------------------------------------------------------------------

// A line of another box, at 9600 baud. Returns when its last byte was in.
static uint64_t from_far_box(const char *line) {
  for (; *line != 0; line++) {
    for (uint64_t end = bench_ticks + 2083; bench_ticks < end; bench_ticks += 100) box_turn();
    bench_second((uint8_t)*line);
  }
  return bench_ticks;
}

void test_relay(void) {
  start_box();
  CHECK(!bench_is_relay);
  say_to_box("1S,S1,aux,1");
  run_ms(50);
  CHECK(bench_is_relay);
  reset_box();
  CHECK(bench_is_relay);
  run_ms(100);

  // From the other box to the host: unchanged, or not at all.
  uint64_t began = bench_ticks;
  from_far_box(":1R,F1,0012,7,000081234567890,000001237000120,000001237004480*BD2E\n");
  run_ms(3);
  CHECK_TEXT(bench_last("R"), "");
  CHECK_NUMBER(bad_so_far(), 1);  // that check was wrong
  char line[120], text[128];
  bench_checked(line, "1R,F1,0012,7,000081234567890,000001237000120,000001237004480");
  snprintf(text, sizeof text, "%s\n", line);
  began = bench_ticks;
  from_far_box(text);
  run_ms(3);
  CHECK_TEXT(bench_last("R"), line);
  uint64_t up = bench_line_at[bench_lines - 1] - (began + 2083);
  from_far_box(":1I,?*D996\n");  // an echo
  run_ms(3);
  CHECK_NUMBER(bench_count("I"), 0);

  // From the host to the other box; the question takes as long as the answer.
  uint64_t asked = bench_ticks;
  say_to_box("1Q,F1,7,000081234567890,....................................");
  run_ms(300);
  bench_checked(line, "1Q,F1,7,000081234567890,....................................");
  snprintf(text, sizeof text, "%s\n", line);
  CHECK_TEXT(bench_second_out, text);
  // The far box stamps the ':' once it is in; the host too.
  uint64_t down = bench_second_at + 2083 - asked;
  CHECK((up > down ? up - down : down - up) < 1 * TICKS_PER_MS);
  CHECK_NUMBER(bench_count("R"), 1);

  bench_second_length = 0;
  say_to_box("1A,F1,0012,5");
  say_to_box("1A,S1,0002,5");
  run_ms(200);
  bench_checked(line, "1A,F1,0012,5");
  snprintf(text, sizeof text, "%s\n", line);
  CHECK_TEXT(bench_second_out, text);
  bench_second_length = 0;
  say_to_box("1I,?");
  run_ms(400);
  CHECK_TEXT(bench_second_out, ":1I,?*D996\n");
  CHECK(strncmp(bench_last("B"), ":1B,S1,", 7) == 0);
}

// --- Random input -------------------------------------------------------------------------------

#define NOISE 1200000
static char noise[NOISE + 1];

// Bytes of any kind, with lines in between: whole ones, and ones with a few bytes changed.
static int make_noise(unsigned seed_number) {
  static const char *payloads[] = {"1I,?", "1A,S1,0001,3", "1N,S1,0001,1", "1S,S1,rearm_us,900000",
                                   "1Q,S1,7,000081234567890,....................................",
                                   "1Y,S1,9", "1E,F1,0007,12,F,T,998877665,0,A1B2C3D4,3810,100"};
  int length = 0;
  srand(seed_number);
  while (length < NOISE - 200) {
    if (rand() % 3 == 0) {
      int count = rand() % 60;
      bool is_text = rand() % 2 == 0;
      for (int i = 0; i < count; i++) {
        noise[length++] = (char)(is_text ? ":\n\r*,10AS"[rand() % 9] : rand());
      }
      continue;
    }
    char line[120];
    bench_checked(line, payloads[(unsigned)rand() % (sizeof payloads / sizeof *payloads)]);
    int size = (int)strlen(line);
    line[size++] = '\n';
    for (int changes = rand() % 4; changes > 0; changes--) {
      line[rand() % size] = (char)(line[rand() % size] ^ (1 << rand() % 8));
    }
    memcpy(&noise[length], line, (size_t)size);
    length += size;
  }
  return length;
}

// Is there a line at this ':', by the letter of the protocol? Its text without '\r', or "".
static void line_at(const char *bytes, int length, char *text) {
  int size = 0, i = 1;
  bool is_sound = false;
  for (; i < length && bytes[i] != '\n'; i++) {
    if (bytes[i] == '\r') continue;
    if (bytes[i] == ':' || bytes[i] < 0x20 || bytes[i] > 0x7E || size == 78) break;
    text[size++] = bytes[i];
  }
  text[size] = 0;
  if (i < length && bytes[i] == '\n' && size > 6 && text[0] == '1') {
    char end[8];
    snprintf(end, sizeof end, "*%04X", (unsigned)bench_crc(text, size - 5));
    is_sound = strcmp(end, &text[size - 5]) == 0;
  }
  if (!is_sound) text[0] = 0;
}

static int next_sound(int from, int length, char *text) {
  for (; from < length; from++) {
    if (noise[from] != ':') continue;
    line_at(&noise[from], length - from, text);
    if (text[0] != 0) return from;
  }
  return length;
}

void test_noise(void) {
  const unsigned seed_number = 20;
  int length = make_noise(seed_number);
  printf("firmware: %d random bytes, seed %u\n", length, seed_number);

  // What is accepted are the sound lines, all of them, and nothing else.
  frame_t frame;
  frame_start(&frame);
  char expected[100], got[100];
  int at = next_sound(0, length, expected);
  int accepted = 0;
  for (int i = 0; i < length; i++) {
    heard_t heard;
    if (frame_byte(&frame, (uint8_t)noise[i], port_now()) != FRAME_LINE) continue;
    if (!hear_line(frame.text, frame.length, &heard)) continue;
    snprintf(got, sizeof got, "%.*s", frame.length, frame.text);
    CHECK(at < length);
    CHECK_TEXT(got, expected);
    accepted++;
    at = next_sound(at + 1, length, expected);
  }
  CHECK_NUMBER(at, length);
  CHECK(accepted > 1000);
  printf("firmware: %d sound lines in it, all found, none else\n", accepted);

  // The box goes on through all of it, at both ports, as reader and as relay.
  for (uint8_t aux_kind = AUX_READER; aux_kind <= AUX_RELAY; aux_kind++) {
    bench_start();
    box_start();
    settings.aux = aux_kind;
    for (int i = 0; i < length; i++) {
      box_host_byte((uint8_t)noise[i], port_now());
      if (i % 12 == 0) bench_second((uint8_t)noise[length - 1 - i]);
      bench_ticks += 170;
      if (i % 3 == 0) box_turn();
      if (i % 5000 == 0) bench_beam(i % 10000 == 0);
      if (bench_lines > BENCH_LINES - 10) bench_lines = 0;
      if (bench_second_length > 4000) bench_second_length = 0;
    }
    run_ms(3000);
    heard_t heard;
    for (int i = 0; i < bench_lines; i++) {
      CHECK(hear_line(bench_line[i] + 1, (uint8_t)strlen(bench_line[i] + 1), &heard));
    }
    CHECK_TEXT(settings.id, "S1");
    CHECK_NUMBER(settings.block_us, BLOCK_US_DEFAULT);
    CHECK_NUMBER(settings.rearm_us, 900000);
    CHECK(bad_input > 0);
    int replies = bench_count("R");
    say_to_box("1Q,S1,7,000081234567890,....................................");
    run_ms(50);
    CHECK_NUMBER(bench_count("R"), replies + 1);
  }
}
