// From edges of the beam to passings: bikes told from glitches and from a gate that is down.
// Called by the box's main loop only.
#ifndef PASS_H
#define PASS_H

#include <stdbool.h>
#include <stdint.h>

#include "stamp.h"

// Blocked at hub height by tyre and rim: over 60 mm, 3.7 ms at 16 m/s; 2 ms is below that.
#define BLOCK_US_DEFAULT UINT32_C(2000)
// Longer than any hole in a bike down to 1.5 m/s, shorter than the distance to the next rider.
#define REARM_US_DEFAULT UINT32_C(800000)

typedef struct {
  stamp_t at;
  bool is_blocked;  // what the beam became
} edge_t;

// Something worth a line: kind B, C, X or O.
typedef struct {
  char kind;
  stamp_t at;
  uint16_t aux;
} moment_t;

typedef enum {
  PASS_DEAF,       // just switched on: edges mean nothing
  PASS_ARMED,      // clear
  PASS_CANDIDATE,  // blocked, not yet for long enough
  PASS_PASSING,    // told; waits for the end
  PASS_DOWN        // blocked for over 10 s, or since it was switched on
} pass_state_t;

typedef struct {
  pass_state_t state;
  bool is_blocked;
  uint16_t pulses;
  uint16_t glitches;  // blockings that were too short; wraps
  uint32_t block_ticks;
  uint32_t rearm_ticks;
  stamp_t first;    // first edge of this passing; while deaf, the moment of switching on
  stamp_t blocked;  // latest blocking edge
  stamp_t cleared;  // latest clearing edge
} pass_t;

void pass_start(pass_t *pass, stamp_t now);
void pass_limits(pass_t *pass, uint32_t block_us, uint32_t rearm_us);

// While deaf: takes the level as it is once 50 ms are over. True if `out` was filled (X).
bool pass_settle(pass_t *pass, stamp_t now, bool is_blocked, moment_t *out);

// What time alone brings about by `now`; call again while true. A `now` before the latest edge is
// harmless. Must be called often enough that no difference exceeds 17 minutes.
bool pass_time(pass_t *pass, stamp_t now, moment_t *out);

// One edge, after pass_time has been asked for its instant. True if `out` was filled (O).
bool pass_edge(pass_t *pass, edge_t edge, moment_t *out);

#endif
