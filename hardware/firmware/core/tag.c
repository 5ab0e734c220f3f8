// Six bits a character: 0 for none, 1 to 10 for the digits, 11 to 36 for the letters.
#include "tag.h"

#include <string.h>

static uint8_t code_of(uint8_t byte) {
  if (byte >= '0' && byte <= '9') return (uint8_t)(byte - '0' + 1);
  if (byte >= 'A' && byte <= 'Z') return (uint8_t)(byte - 'A' + 11);
  return 0;
}

static void pack(uint8_t packed[TAG_PACKED], uint8_t i, uint8_t code) {
  uint8_t bit = (uint8_t)(i * 6u);
  uint16_t shifted = (uint16_t)((uint16_t)code << (bit % 8u));
  uint8_t *at = &packed[bit / 8u];
  at[0] = (uint8_t)(at[0] | (shifted & 0xFFu));
  if (shifted > 0xFF) at[1] = (uint8_t)(at[1] | (shifted >> 8));
}

char tag_char(const uint8_t packed[TAG_PACKED], uint8_t i) {
  uint8_t bit = (uint8_t)(i * 6u);
  uint16_t pair = packed[bit / 8u];
  if (bit / 8u + 1u < TAG_PACKED) pair |= (uint16_t)((uint16_t)packed[bit / 8u + 1u] << 8);
  uint8_t code = (uint8_t)((unsigned)(pair >> (bit % 8u)) & 0x3Fu);
  if (code == 0) return 0;
  return (char)(code <= 10 ? '0' + code - 1 : 'A' + code - 11);
}

void tag_start(tag_reader_t *reader) {
  memset(reader, 0, sizeof *reader);
}

tag_result_t tag_byte(tag_reader_t *reader, uint8_t byte) {
  if (byte == '\n') {
    bool is_good = !reader->is_lost && reader->length > 1;
    bool is_bad = !reader->is_lost && !is_good;  // told before, if it was lost
    reader->is_lost = false;
    reader->length = 0;
    return is_good ? TAG_DONE : is_bad ? TAG_BAD : TAG_MORE;
  }
  if (reader->is_lost) return TAG_MORE;
  uint8_t code = code_of(byte);
  bool is_fit = reader->length == 0 ? byte == 'T' : code != 0 && reader->length <= TAG_MOST;
  if (!is_fit) {
    reader->is_lost = true;
    return TAG_BAD;
  }
  if (reader->length == 0) memset(reader->packed, 0, sizeof reader->packed);
  else pack(reader->packed, (uint8_t)(reader->length - 1u), code);
  reader->length = (uint8_t)(reader->length + 1u);
  return TAG_MORE;
}
