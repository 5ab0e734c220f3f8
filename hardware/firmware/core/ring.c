// 64 events, 32 under way, cumulative acknowledgement.
#include "ring.h"

#include <stddef.h>

#define RESEND_TICKS TICKS_PER_S
#define RESEND_MOST_TICKS (8u * TICKS_PER_S)

void ring_start(ring_t *ring) {
  ring->next_seq = ring->oldest_seq = ring->to_send = 1;
  ring->last_sent = 0;
  ring->resend_ticks = RESEND_TICKS;
  ring->resend_at = 0;
  ring->is_waiting = false;
  ring->window = RING_WINDOW;
  ring->overwritten = 0;
}

event_t *ring_add(ring_t *ring) {
  if (ring->next_seq > RING_LAST_SEQ) return NULL;
  if (ring->next_seq - ring->oldest_seq == RING_HELD) {
    ring->oldest_seq += 1;
    ring->overwritten = (uint16_t)(ring->overwritten + 1);
  }
  event_t *event = &ring->held[ring->next_seq % RING_HELD];
  ring->next_seq += 1;
  return event;
}

const event_t *ring_take(ring_t *ring, uint32_t now, uint32_t *seq) {
  if (ring->to_send < ring->oldest_seq) ring->to_send = ring->oldest_seq;
  if (ring->to_send >= ring->next_seq) return NULL;
  if (ring->to_send - ring->oldest_seq >= ring->window) return NULL;
  *seq = ring->to_send;
  ring->to_send += 1;
  if (*seq > ring->last_sent) ring->last_sent = *seq;
  if (!ring->is_waiting) {
    ring->is_waiting = true;
    ring->resend_at = now + ring->resend_ticks;
  }
  return &ring->held[*seq % RING_HELD];
}

void ring_acknowledge(ring_t *ring, uint32_t seq, uint32_t now) {
  if (seq > ring->last_sent || seq < ring->oldest_seq) return;
  ring->oldest_seq = seq + 1;
  ring->window = ring->window >= RING_WINDOW / 2 ? RING_WINDOW : (uint8_t)(ring->window * 2);
  ring->resend_ticks = RESEND_TICKS;
  ring->resend_at = now + RESEND_TICKS;
  ring->is_waiting = ring->oldest_seq < ring->next_seq;
}

bool ring_go_back(ring_t *ring, uint32_t seq, uint32_t *to) {
  if (seq < 1 || seq >= ring->next_seq) return false;
  bool is_gone = seq < ring->oldest_seq;
  ring->to_send = is_gone ? ring->oldest_seq : seq;
  uint8_t ahead = (uint8_t)(ring->to_send - ring->oldest_seq);
  if (ring->window <= ahead) ring->window = (uint8_t)(ahead + 1);
  *to = ring->oldest_seq - 1;
  return is_gone;
}

void ring_start_over(ring_t *ring) {
  ring->to_send = ring->oldest_seq;
}

void ring_time(ring_t *ring, uint32_t now) {
  if (!ring->is_waiting || ticks_since(now, ring->resend_at) < 0) return;
  ring->window = 1;
  ring->to_send = ring->oldest_seq;
  ring->resend_ticks *= 2;
  if (ring->resend_ticks > RESEND_MOST_TICKS) ring->resend_ticks = RESEND_MOST_TICKS;
  ring->resend_at = now + ring->resend_ticks;
}
