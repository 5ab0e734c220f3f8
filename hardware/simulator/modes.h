// The ways to drive a board; each gives the exit code of the program.
#ifndef MODES_H
#define MODES_H

#include "board.h"

// In step with the program at standard input, which moves true time (lockstep.c).
int run_lockstep(board *b);

// On a pseudo-terminal of its own, named by a link. speed: seconds of the box a second, 0 flat out;
// until_ns: its end, 0 for none (pty.c).
int run_pty(board *b, const char *link, double speed, uint64_t until_ns);

// Flat out, each line that it sends printed with the true time of its first byte (main.c).
int run_alone(board *b, uint64_t until_ns);

#endif
