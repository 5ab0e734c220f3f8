// The way to another box that hangs at the second port, by wire or by radio. Called by the box's
// main loop only. Lines pass unchanged and whole, or not at all; nothing is stamped, nothing answered.
//
// What it can do: every sound line of the other box goes on to the host; lines of the host for
// another box, and `I,?`, go out at the second port, one at a time: what comes while one is under way
// is dropped, and the host's habit of asking again brings it (A after the next E or H, N each second).
//
// A clock question must take as long one way as the other. Both ends measure at the ':', and a line
// from the other box gets here at 9600 baud before it is passed on; so a question is kept back as long
// as its answer will take. What is left is this loop's delay, under 1 ms and half of it in the offset.
//
// What it cannot do: carry the events of a gate at full rate (9600 baud are some 20 lines a second), or
// relay a relay; and it takes the place of the transponder reader.
#ifndef RELAY_H
#define RELAY_H

#include <stdbool.h>
#include <stdint.h>

#include "hear.h"
#include "stamp.h"

void relay_start(void);

// Takes what has come from the other box, up to one whole line. Returns how much of it was bad.
uint8_t relay_listen(void);

bool relay_has_line(void);
// Passes that line on to the host; LINE_MOST bytes must be free there.
void relay_pass_on(void);

// A sound line of the host, with the instant of its ':'; goes out if it is for another box and no
// other line is under way.
void relay_take(const char *text, uint8_t length, const heard_t *line, stamp_t began);

// Sends the next byte to the other box, if one is due.
void relay_turn(stamp_t now);

#endif
