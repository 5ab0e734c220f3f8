// One line: is it sound, and what are its fields? Called by the main loop for the host's lines, and
// for those of another box when relaying.
#ifndef HEAR_H
#define HEAR_H

#include <stdbool.h>
#include <stdint.h>

#include "flash.h"

// Box id and at most three more matter to a box; further ones are ignored: version 1 may grow so.
#define HEARD_FIELDS 4u

typedef struct {
  char type;  // 0 if the type is not a single letter: none that version 1 knows
  uint8_t fields;
  const char *field[HEARD_FIELDS];  // into the line; not ended by a zero
  uint8_t length[HEARD_FIELDS];
} heard_t;

// Checks the CRC and the version and cuts at the commas. False: not a sound line of version 1.
bool hear_line(const char *text, uint8_t length, heard_t *out);

// Field `i` as a decimal number of at most `digits` digits (9 fit). False if it is none.
bool hear_number(const heard_t *line, uint8_t i, uint8_t digits, uint32_t *out);

// Field `i` as a number of 1 to `digits` digits, whatever its size. False if it is none.
bool hear_digits(const heard_t *line, uint8_t i, uint8_t digits);

// Field `i` as a boot number: four upper-case hex digits.
bool hear_boot(const heard_t *line, uint8_t i, uint16_t *out);

// Field `i` is this text, ended by a zero: in memory, or in flash.
bool hear_is(const heard_t *line, uint8_t i, const char *text);
bool hear_is_name(const heard_t *line, uint8_t i, const IN_FLASH char *name);

// Field `i` is a box id: 1 to 4 of 0-9 A-Z.
bool hear_is_id(const heard_t *line, uint8_t i);

#endif
