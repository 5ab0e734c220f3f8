// The events that the box holds until the host has them on its disk, and whose turn it is to go out.
// Called by the box's main loop only.
#ifndef RING_H
#define RING_H

#include <stdbool.h>
#include <stdint.h>

#include "stamp.h"
#include "tag.h"

#define RING_HELD 64u
#define RING_WINDOW 32u
// Sequence numbers end here; then the box restarts under a new boot number.
#define RING_LAST_SEQ UINT32_C(9999999)

// An event without its number, which is its place. Sixteen bytes on the chip: 64 of them are half of
// its memory.
typedef struct {
  stamp_t at;
  uint16_t battery_mv;
  union {
    uint16_t aux;              // all kinds but T
    uint8_t tag[TAG_PACKED];   // kind T
  };
  uint8_t beam_percent;
  unsigned kind : 4;  // see say_kinds in say.h
  unsigned role : 4;
} event_t;

typedef struct {
  event_t held[RING_HELD];
  uint32_t next_seq;
  uint32_t oldest_seq;  // equal to next_seq if nothing is held
  uint32_t to_send;
  uint32_t last_sent;
  uint32_t resend_ticks;
  uint32_t resend_at;
  bool is_waiting;  // for an acknowledgement, until resend_at
  uint8_t window;
  uint16_t overwritten;  // wraps
} ring_t;

void ring_start(ring_t *ring);

// Where the next event is to be written; the oldest makes room if it must. NULL past the last number.
event_t *ring_add(ring_t *ring);

// The event whose turn it is, counted as sent, and its number; NULL if none is or the window is full.
const event_t *ring_take(ring_t *ring, uint32_t now, uint32_t *seq);

// All up to `seq` are safe. Beyond the last one sent, or already freed: ignored.
void ring_acknowledge(ring_t *ring, uint32_t seq, uint32_t now);

// Goes back to `seq`. True if some from there on are gone: up to `*to`.
bool ring_go_back(ring_t *ring, uint32_t seq, uint32_t *to);

// Everything held goes out again.
void ring_start_over(ring_t *ring);

// Nothing acknowledged for 1 s, then 2, 4, 8: only the oldest goes out again.
void ring_time(ring_t *ring, uint32_t now);

#endif
