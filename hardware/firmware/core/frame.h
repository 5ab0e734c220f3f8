// Bytes to lines, one at a time; called by the receive interrupt, and by the main loop for a relay.
#ifndef FRAME_H
#define FRAME_H

#include <stdbool.h>
#include <stdint.h>

#include "stamp.h"

// A line with its ':' and line feed.
#define LINE_MOST 80u
// What stands between them; one byte more drops the line.
#define FRAME_MOST (LINE_MOST - 2u)

typedef enum { FRAME_MORE, FRAME_LINE, FRAME_BAD } frame_result_t;

typedef enum { FRAME_NOTHING, FRAME_INSIDE, FRAME_NOISE } frame_state_t;

typedef struct {
  stamp_t began;  // when its ':' had come in
  frame_state_t state;
  uint8_t length;
  char text[FRAME_MOST];  // without ':', not ended by a zero
} frame_t;

void frame_start(frame_t *frame);

// Discards until ':', which starts a line at any time. A byte outside 0x20 to 0x7E, or one too many,
// drops the line; a carriage return is ignored. FRAME_LINE: text and length stand until the next
// call. FRAME_BAD: something was lost, told once for each line or stretch of noise.
// `at` is looked at for ':' only.
frame_result_t frame_byte(frame_t *frame, uint8_t byte, stamp_t at);

#endif
