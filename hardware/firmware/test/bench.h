// port.h for this computer: time that only the test moves, pins that it sets, ports whose bytes take
// as long as real ones, an EEPROM that power cuts can tear.
#ifndef BENCH_H
#define BENCH_H

#include <stdbool.h>
#include <stdint.h>

#include "port.h"

// Everything as new; the EEPROM erased.
void bench_start(void);
// Switched off and on: the EEPROM stays.
void bench_power_on(void);

// The clock, counts of 0.5 us.
extern uint64_t bench_ticks;
stamp_t bench_stamp(uint64_t ticks);

extern bool bench_restarted;
extern bool bench_is_slow;
extern bool bench_is_relay;

// Beam and button, from now on.
void bench_beam(bool is_blocked);
void bench_button(bool is_down);

// What was said to the host, and when each ':' left. Lines without their line feed.
#define BENCH_LINES 4096
extern int bench_lines;
extern char bench_line[BENCH_LINES][96];
extern uint64_t bench_line_at[BENCH_LINES];
extern uint64_t bench_line_end[BENCH_LINES];
// The newest line of this type ("E"), or "".
const char *bench_last(const char *type);
int bench_count(const char *type);

// A byte comes in, or has gone out, at the second port.
void bench_second(uint8_t byte);
extern char bench_second_out[4096];
extern int bench_second_length;
extern uint64_t bench_second_at;  // when its first byte began to leave

extern uint8_t bench_eeprom[1024];
// Writes that still work; then the power is gone. Negative: it stays.
extern int bench_writes_left;

// A line with ':' and check, without line feed, the check made bit by bit.
void bench_checked(char *out, const char *payload);
uint16_t bench_crc(const char *text, int length);

#endif
