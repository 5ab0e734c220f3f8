// Chance for what must not happen at the same time in two boxes; not for secrets.
#ifndef RANDOM_H
#define RANDOM_H

#include <stdint.h>

// Marsaglia's xorshift with 16 bits, shifts 7, 9, 8: every state but 0 comes once in 65535 steps
// (a test counts them).
static inline uint16_t random_next(uint16_t *state) {
  uint16_t x = *state;
  x = (uint16_t)(x ^ (uint16_t)(x << 7));
  x = (uint16_t)(x ^ (x >> 9));
  x = (uint16_t)(x ^ (uint16_t)(x << 8));
  *state = x;
  return x;
}

#endif
