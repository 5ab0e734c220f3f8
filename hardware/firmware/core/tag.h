// The record of a transponder reader, and a tag in six bytes. Called by the box's main loop.
//
// Our own record, which a small adapter makes of whatever a reader says: the letter T, 1 to 8 of
// 0-9 A-Z, a line feed, at 9600 baud 8N1; nothing more. "TA1B2C3D4\n".
#ifndef TAG_H
#define TAG_H

#include <stdbool.h>
#include <stdint.h>

#define TAG_MOST 8u
#define TAG_PACKED 6u

typedef enum { TAG_MORE, TAG_DONE, TAG_BAD } tag_result_t;

typedef struct {
  bool is_lost;    // the rest of this record, up to its line feed, counts for nothing
  uint8_t length;  // of the record so far, with its T
  uint8_t packed[TAG_PACKED];
} tag_reader_t;

void tag_start(tag_reader_t *reader);

// One byte of the reader. TAG_DONE: `packed` holds the tag until the next call. TAG_BAD once a bad
// record.
tag_result_t tag_byte(tag_reader_t *reader, uint8_t byte);

// Character `i` (below TAG_MOST) of a packed tag; 0 behind its end.
char tag_char(const uint8_t packed[TAG_PACKED], uint8_t i);

#endif
