// The other side of port.h.
#include "bench.h"

#include <stdio.h>
#include <string.h>

#include "check.h"

#define FAST_BYTE 170u     // 117647 baud
#define SLOW_BYTE 2083u    // 9600 baud
#define SENDS 96u          // as on the chip
#define EDGES 64
#define SECONDS 4096

uint64_t bench_ticks;
bool bench_restarted;
bool bench_is_slow;
bool bench_is_relay;
int bench_lines;
char bench_line[BENCH_LINES][96];
uint64_t bench_line_at[BENCH_LINES];
uint64_t bench_line_end[BENCH_LINES];
char bench_second_out[4096];
int bench_second_length;
uint64_t bench_second_at;
uint8_t bench_eeprom[1024];
int bench_writes_left;

static bool is_blocked;
static bool is_button_down;
static edge_t edges[EDGES];
static unsigned edge_in, edge_out;
static bool has_press;
static stamp_t press_at;
static uint64_t wire_free_at;
static char wire[96];
static unsigned wire_length;
static uint64_t wire_began;
static uint8_t seconds[SECONDS];
static uint64_t second_at[SECONDS];
static unsigned second_in, second_out;
static uint64_t second_free_at;
static int eeprom_busy;

stamp_t bench_stamp(uint64_t ticks) {
  stamp_t at = {(uint32_t)(ticks >> 16), (uint16_t)ticks};
  return at;
}

void bench_start(void) {
  memset(bench_eeprom, 0xFF, sizeof bench_eeprom);
  bench_writes_left = -1;
  bench_power_on();
}

void bench_power_on(void) {
  bench_ticks = 0;
  bench_restarted = bench_is_slow = bench_is_relay = false;
  bench_lines = 0;
  bench_second_length = 0;
  is_blocked = is_button_down = has_press = false;
  edge_in = edge_out = second_in = second_out = 0;
  wire_free_at = second_free_at = 0;
  wire_length = 0;
  eeprom_busy = 0;
}

stamp_t port_now(void) {
  return bench_stamp(bench_ticks);
}

void bench_beam(bool blocked) {
  if (blocked == is_blocked) return;
  is_blocked = blocked;
  CHECK(edge_in - edge_out < EDGES);
  edge_t edge = {port_now(), blocked};
  edges[edge_in++ % EDGES] = edge;
}

bool port_is_blocked(void) {
  return is_blocked;
}

bool port_take_edge(edge_t *edge) {
  if (edge_in == edge_out) return false;
  *edge = edges[edge_out++ % EDGES];
  return true;
}

void bench_button(bool is_down) {
  if (is_down && !is_button_down && !has_press) {
    has_press = true;
    press_at = port_now();
  }
  is_button_down = is_down;
}

bool port_is_button_down(void) {
  return is_button_down;
}

bool port_take_press(stamp_t *at) {
  if (!has_press) return false;
  *at = press_at;
  has_press = false;
  return true;
}

uint16_t port_battery_mv(void) {
  return 3760;
}

void port_open_host(bool is_slow) {
  bench_is_slow = is_slow;
}

static uint64_t byte_ticks(void) {
  return bench_is_slow ? SLOW_BYTE : FAST_BYTE;
}

uint8_t port_send_free(void) {
  if (wire_free_at <= bench_ticks) return SENDS;
  uint64_t waiting = (wire_free_at - bench_ticks) / byte_ticks();
  return waiting >= SENDS ? 0 : (uint8_t)(SENDS - waiting);
}

void port_send(uint8_t byte) {
  CHECK(port_send_free() > 0);
  uint64_t begins = wire_free_at > bench_ticks ? wire_free_at : bench_ticks;
  wire_free_at = begins + byte_ticks();
  if (byte == ':') {
    wire_length = 0;
    wire_began = begins;
  }
  CHECK(wire_length < 80);
  if (byte != '\n') {
    wire[wire_length++] = (char)byte;
    return;
  }
  CHECK(bench_lines < BENCH_LINES);
  memcpy(bench_line[bench_lines], wire, wire_length);
  bench_line[bench_lines][wire_length] = 0;
  bench_line_at[bench_lines] = wire_began;
  bench_line_end[bench_lines] = wire_free_at;
  bench_lines++;
}

bool port_is_send_idle(void) {
  return wire_free_at <= bench_ticks;
}

stamp_t port_send_now(uint8_t byte) {
  CHECK(port_is_send_idle());
  port_send(byte);
  return port_now();
}

const char *bench_last(const char *type) {
  for (int i = bench_lines - 1; i >= 0; i--) {
    if (bench_line[i][2] == type[0]) return bench_line[i];
  }
  return "";
}

int bench_count(const char *type) {
  int count = 0;
  for (int i = 0; i < bench_lines; i++) count += bench_line[i][2] == type[0];
  return count;
}

void port_open_second(bool is_relay) {
  bench_is_relay = is_relay;
}

void bench_second(uint8_t byte) {
  CHECK(second_in - second_out < SECONDS);
  second_at[second_in % SECONDS] = bench_ticks;
  seconds[second_in++ % SECONDS] = byte;
}

bool port_take_second(uint8_t *byte, stamp_t *at) {
  if (second_in == second_out) return false;
  *at = bench_stamp(second_at[second_out % SECONDS]);
  *byte = seconds[second_out++ % SECONDS];
  return true;
}

bool port_is_second_idle(void) {
  return second_free_at <= bench_ticks;
}

void port_send_second(uint8_t byte) {
  CHECK(port_is_second_idle());
  CHECK(bench_second_length < (int)sizeof bench_second_out - 1);
  if (bench_second_length == 0) bench_second_at = bench_ticks;
  bench_second_out[bench_second_length++] = (char)byte;
  bench_second_out[bench_second_length] = 0;
  second_free_at = bench_ticks + SLOW_BYTE;
}

bool port_eeprom_is_ready(void) {
  if (eeprom_busy > 0) eeprom_busy--;
  return eeprom_busy == 0;
}

uint8_t port_eeprom_read(uint16_t address) {
  CHECK(eeprom_busy == 0);
  CHECK(address < sizeof bench_eeprom);
  return bench_eeprom[address];
}

void port_eeprom_write(uint16_t address, uint8_t byte) {
  CHECK(eeprom_busy == 0);
  CHECK(address < sizeof bench_eeprom);
  eeprom_busy = 3;
  if (bench_writes_left == 0) return;
  if (bench_writes_left > 0) bench_writes_left--;
  bench_eeprom[address] = byte;
}

void port_restart(void) {
  bench_restarted = true;
}

// The CRC by its definition, a bit at a time: not the core's way.
uint16_t bench_crc(const char *text, int length) {
  uint16_t crc = 0xFFFF;
  for (int i = 0; i < length; i++) {
    for (int bit = 7; bit >= 0; bit--) {
      bool in = ((unsigned char)text[i] >> bit & 1) != 0;
      bool top = (crc & 0x8000) != 0;
      crc = (uint16_t)(crc << 1);
      if (in != top) crc ^= 0x1021;
    }
  }
  return crc;
}

void bench_checked(char *out, const char *payload) {
  sprintf(out, ":%s*%04X", payload, (unsigned)bench_crc(payload, (int)strlen(payload)));
}
