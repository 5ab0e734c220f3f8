// The ring of events: window, acknowledgement, resending, overwriting, the last number.
#include <stdlib.h>
#include <string.h>

#include "check.h"
#include "ring.h"

static ring_t ring;

static void add(uint32_t count) {
  for (uint32_t i = 0; i < count; i++) {
    uint32_t seq = ring.next_seq;
    event_t *event = ring_add(&ring);
    CHECK(event != NULL);
    if (event != NULL) event->at.overflows = seq;
  }
}

// How many go out now; checks that they are in order from `first` and hold what was put in.
static uint32_t drain(uint32_t now, uint32_t first) {
  uint32_t count = 0, seq;
  const event_t *event;
  while ((event = ring_take(&ring, now, &seq)) != NULL) {
    CHECK_NUMBER(seq, first + count);
    CHECK_NUMBER(event->at.overflows, seq);
    count++;
  }
  return count;
}

static void window(void) {
  ring_start(&ring);
  CHECK_NUMBER(drain(0, 1), 0);
  add(40);
  CHECK_NUMBER(drain(0, 1), 32);
  ring_acknowledge(&ring, 33, 0);  // not sent yet
  CHECK_NUMBER(ring.oldest_seq, 1);
  ring_acknowledge(&ring, 10, 0);
  CHECK_NUMBER(ring.oldest_seq, 11);
  ring_acknowledge(&ring, 10, 0);  // again
  ring_acknowledge(&ring, 0, 0);
  CHECK_NUMBER(ring.oldest_seq, 11);
  CHECK_NUMBER(drain(0, 33), 8);
  ring_acknowledge(&ring, 40, 0);
  CHECK_NUMBER(ring.oldest_seq, 41);
  ring_time(&ring, 100 * TICKS_PER_S);
  CHECK_NUMBER(drain(0, 1), 0);
}

static void resending(uint32_t start) {
  ring_start(&ring);
  add(40);
  uint32_t now = start;
  drain(now, 1);
  static const uint32_t pauses[] = {1, 2, 4, 8, 8, 8};
  for (unsigned i = 0; i < sizeof pauses / sizeof *pauses; i++) {
    ring_time(&ring, now + pauses[i] * TICKS_PER_S - 1);
    CHECK_NUMBER(drain(now, 1), 0);
    now += pauses[i] * TICKS_PER_S;
    ring_time(&ring, now);
    CHECK_NUMBER(drain(now, 1), 1);
  }
  // Each acknowledgement doubles the window, and starts the pauses anew.
  static const uint32_t windows[] = {2, 4, 8, 16};
  uint32_t acked = 1;
  for (unsigned i = 0; i < sizeof windows / sizeof *windows; i++) {
    ring_acknowledge(&ring, acked, now);
    CHECK_NUMBER(drain(now, acked + 1), windows[i]);
    acked += windows[i];
  }
  CHECK_NUMBER(ring.window, 16);
  ring_time(&ring, now + TICKS_PER_S - 1);
  CHECK_NUMBER(drain(now, 1), 0);
  ring_time(&ring, now + TICKS_PER_S);
  CHECK_NUMBER(drain(now, acked - 15), 1);
  CHECK_NUMBER(ring.window, 1);
}

static void asked_again(void) {
  uint32_t to;
  ring_start(&ring);
  add(20);
  drain(0, 1);
  ring_acknowledge(&ring, 5, 0);
  CHECK(!ring_go_back(&ring, 9, &to));
  CHECK_NUMBER(drain(0, 9), 12);
  CHECK(ring_go_back(&ring, 2, &to));
  CHECK_NUMBER(to, 5);
  CHECK_NUMBER(drain(0, 6), 15);
  CHECK(!ring_go_back(&ring, 0, &to));
  CHECK(!ring_go_back(&ring, 21, &to));  // never was
  CHECK_NUMBER(drain(0, 1), 0);
  // A window that has fallen to 1 opens up to what is asked for.
  ring_time(&ring, 2 * TICKS_PER_S);
  CHECK(!ring_go_back(&ring, 15, &to));
  CHECK_NUMBER(drain(0, 15), 1);
  ring_start_over(&ring);
  CHECK_NUMBER(drain(0, 6), 10);
  // All is acknowledged: all that is asked for is gone.
  ring_acknowledge(&ring, 20, 0);
  CHECK(ring_go_back(&ring, 20, &to));
  CHECK_NUMBER(to, 20);
}

static void overwriting(void) {
  uint32_t to;
  ring_start(&ring);
  add(64);
  CHECK_NUMBER(ring.overwritten, 0);
  drain(0, 1);
  add(70);
  CHECK_NUMBER(ring.overwritten, 70);
  CHECK_NUMBER(ring.oldest_seq, 71);
  CHECK_NUMBER(ring.next_seq, 135);
  ring_acknowledge(&ring, 32, 0);  // sent, acknowledged, but long overwritten
  CHECK_NUMBER(ring.oldest_seq, 71);
  CHECK_NUMBER(drain(0, 71), 32);
  CHECK(ring_go_back(&ring, 33, &to));
  CHECK_NUMBER(to, 70);
}

static void last_number(void) {
  ring_start(&ring);
  ring.next_seq = ring.oldest_seq = ring.to_send = RING_LAST_SEQ;
  ring.last_sent = RING_LAST_SEQ - 1;
  add(1);
  CHECK_NUMBER(drain(0, RING_LAST_SEQ), 1);
  CHECK(ring_add(&ring) == NULL);
  ring_acknowledge(&ring, RING_LAST_SEQ, 0);
  CHECK_NUMBER(ring.oldest_seq, 10000000);
}

// Anything in any order: numbers stay in order, nothing held is lost but by overwriting.
static void anything(void) {
  uint32_t gone = 0, now = 0, to;
  ring_start(&ring);
  srand(11);
  for (int i = 0; i < 200000; i++) {
    uint32_t before = ring.oldest_seq, lost = ring.overwritten, seq;
    uint32_t any = ring.next_seq + (uint32_t)(rand() % 100) - 90u;
    switch (rand() % 7) {
      case 0:
      case 1:
        add(1);
        break;
      case 2:
        ring_acknowledge(&ring, any, now);
        CHECK(ring.oldest_seq <= ring.last_sent + 1 || ring.oldest_seq == before);
        break;
      case 3:
        ring_go_back(&ring, any, &to);
        break;
      case 4:
        now += (uint32_t)rand() % TICKS_PER_S;
        ring_time(&ring, now);
        break;
      default:
        if (ring_take(&ring, now, &seq) != NULL) {
          CHECK(seq >= ring.oldest_seq && seq < ring.next_seq);
          CHECK_NUMBER(ring.held[seq % RING_HELD].at.overflows, seq);
        }
    }
    gone += (uint16_t)(ring.overwritten - lost);
    CHECK(ring.oldest_seq >= before && ring.next_seq - ring.oldest_seq <= RING_HELD);
    CHECK(ring.window >= 1 && ring.window <= RING_HELD);
  }
  CHECK(gone > 0);
}

void test_ring(void) {
  window();
  resending(0);
  resending(UINT32_MAX - TICKS_PER_S / 2);
  asked_again();
  overwriting();
  last_number();
  anything();
}
