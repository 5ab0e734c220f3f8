// Reads lines and fields; trusts nothing.
#include "hear.h"

#include "crc.h"

// '*' and four digits.
#define CHECK_LENGTH 5u

// 0 to 15, or 16 if it is no upper-case hex digit.
static uint8_t hex_of(char c) {
  if (c >= '0' && c <= '9') return (uint8_t)(c - '0');
  if (c >= 'A' && c <= 'F') return (uint8_t)(c - 'A' + 10);
  return 16;
}

static bool hex4(const char *text, uint16_t *out) {
  uint16_t value = 0;
  for (uint8_t i = 0; i < 4; i++) {
    uint8_t digit = hex_of(text[i]);
    if (digit > 15) return false;
    value = (uint16_t)((uint16_t)(value << 4) | digit);
  }
  *out = value;
  return true;
}

static bool has_good_check(const char *text, uint8_t length) {
  uint16_t said;
  if (length < CHECK_LENGTH + 2u || text[length - CHECK_LENGTH] != '*') return false;
  if (!hex4(&text[length - CHECK_LENGTH + 1u], &said)) return false;
  uint16_t crc = CRC_START;
  for (uint8_t i = 0; i < length - CHECK_LENGTH; i++) crc = crc_add(crc, (uint8_t)text[i]);
  return crc == said;
}

bool hear_line(const char *text, uint8_t length, heard_t *out) {
  if (!has_good_check(text, length) || text[0] != '1') return false;
  uint8_t end = (uint8_t)(length - CHECK_LENGTH);
  out->type = end == 2 || text[2] == ',' ? text[1] : 0;
  out->fields = 0;
  uint8_t from = 1;
  while (from < end && text[from] != ',') from++;
  while (from < end && out->fields < HEARD_FIELDS) {
    from++;  // the comma
    uint8_t to = from;
    while (to < end && text[to] != ',') to++;
    out->field[out->fields] = &text[from];
    out->length[out->fields] = (uint8_t)(to - from);
    out->fields++;
    from = to;
  }
  return true;
}

bool hear_digits(const heard_t *line, uint8_t i, uint8_t digits) {
  if (i >= line->fields || line->length[i] < 1 || line->length[i] > digits) return false;
  for (uint8_t k = 0; k < line->length[i]; k++) {
    if (line->field[i][k] < '0' || line->field[i][k] > '9') return false;
  }
  return true;
}

bool hear_number(const heard_t *line, uint8_t i, uint8_t digits, uint32_t *out) {
  if (!hear_digits(line, i, digits)) return false;
  uint32_t value = 0;
  for (uint8_t k = 0; k < line->length[i]; k++) {
    value = value * 10u + (uint32_t)(line->field[i][k] - '0');
  }
  *out = value;
  return true;
}

bool hear_boot(const heard_t *line, uint8_t i, uint16_t *out) {
  return i < line->fields && line->length[i] == 4 && hex4(line->field[i], out);
}

bool hear_is(const heard_t *line, uint8_t i, const char *text) {
  if (i >= line->fields) return false;
  uint8_t k = 0;
  while (k < line->length[i] && text[k] != 0 && text[k] == line->field[i][k]) k++;
  return k == line->length[i] && text[k] == 0;
}

bool hear_is_name(const heard_t *line, uint8_t i, const IN_FLASH char *name) {
  if (i >= line->fields) return false;
  uint8_t k = 0;
  while (k < line->length[i] && name[k] != 0 && name[k] == line->field[i][k]) k++;
  return k == line->length[i] && name[k] == 0;
}

bool hear_is_id(const heard_t *line, uint8_t i) {
  if (i >= line->fields || line->length[i] < 1 || line->length[i] > 4) return false;
  for (uint8_t k = 0; k < line->length[i]; k++) {
    char c = line->field[i][k];
    if (!((c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z'))) return false;
  }
  return true;
}
