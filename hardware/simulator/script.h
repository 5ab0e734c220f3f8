// What happens to a box, as text: one happening a line, TIME WHAT [VALUE].
//
//   1500000      beam 1        at 1.5 s of true time the beam is blocked
//   +250000.5    beam 0        so many microseconds after the line before
//   2000000      button 1      pressed; 0 released
//   2000000      reader TA1B2  the transponder reader says TA1B2 and a line feed
//   2000000      send TEXT     the host says TEXT and a line feed
//   3000000      reset
//   3000000      unplug        the cable is out (a pseudo-terminal only); plug: back
//
// Empty lines and what follows # are left out.
#ifndef SCRIPT_H
#define SCRIPT_H

#include "board.h"

typedef enum { SCRIPT_DONE, SCRIPT_PLUG, SCRIPT_UNPLUG, SCRIPT_WRONG } script_said;

// One line. from_ns: what "+" counts from; *at_ns becomes the line's instant. Plug and unplug are the
// caller's business. SCRIPT_WRONG: nothing done, a message on stderr.
script_said script_line(board *b, const char *line, uint64_t from_ns, uint64_t *at_ns);

// A whole file; false if it cannot be read or understood, with a message on stderr.
bool script_file(board *b, const char *path);

#endif
