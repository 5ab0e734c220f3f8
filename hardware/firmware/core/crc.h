// The check of a line; used by what speaks, what hears, and what is stored.
#ifndef CRC_H
#define CRC_H

#include <stdint.h>

#define CRC_START 0xFFFFu

// CRC-16: polynomial 0x1021, start 0xFFFF, no reflection, no final change ("CRC-16/IBM-3740" in the
// catalogue of parametrised CRC algorithms, check value 29B1). A byte at a time without a table:
// the eight steps of the bitwise form written out, as the polynomial has only three terms below x^16.
static inline uint16_t crc_add(uint16_t crc, uint8_t byte) {
  uint8_t x = (uint8_t)((crc >> 8) ^ byte);
  x = (uint8_t)(x ^ (x >> 4));
  return (uint16_t)((uint16_t)(crc << 8) ^ (uint16_t)((uint16_t)x << 12) ^ (uint16_t)((uint16_t)x << 5) ^ x);
}

#endif
