// An instant on the box's clock: a 48-bit count of 0.5 us since this boot; used by everything.
#ifndef STAMP_H
#define STAMP_H

#include <stdbool.h>
#include <stdint.h>

// Two counts make a microsecond: 16 MHz through the timer's divider by 8.
#define TICKS_PER_US UINT32_C(2)
#define TICKS_PER_MS UINT32_C(2000)
#define TICKS_PER_S UINT32_C(2000000)

// 4.4 years until it wraps; six bytes on the chip.
typedef struct {
  uint32_t overflows;  // of the 16-bit timer
  uint16_t count;      // the timer itself
} stamp_t;

// The timer's value, read or captured, as an instant. `is_pending` says that the timer has run over
// and `overflows` does not yet know: then a count in the lower half was taken after that, one in the
// upper half before it. Holds as long as fewer than 16 ms lie between the count and this call.
static inline stamp_t stamp_extend(uint32_t overflows, bool is_pending, uint16_t count) {
  stamp_t at = {overflows, count};
  if (is_pending && count < 0x8000u) at.overflows += 1;
  return at;
}

// The lower 32 bits, for differences of up to 17 minutes: see ticks_since.
static inline uint32_t stamp_ticks(stamp_t at) {
  return (at.overflows << 16) | at.count;
}

// From `then` to `now`, ticks; negative if `then` is the later one. Right across every wrap, which an
// unsigned difference would not be: one step back would look like half an hour.
static inline int32_t ticks_since(uint32_t now, uint32_t then) {
  return (int32_t)(now - then);
}

// Whole microseconds since boot, at most 15 digits.
static inline uint64_t stamp_us(stamp_t at) {
  return (((uint64_t)at.overflows << 16) | at.count) >> 1;
}

// The instant up to 32 ms before `now` at which the timer stood at `count`.
static inline stamp_t stamp_before(stamp_t now, uint16_t count) {
  stamp_t at = {now.overflows, count};
  if (count > now.count) at.overflows -= 1;
  return at;
}

#endif
