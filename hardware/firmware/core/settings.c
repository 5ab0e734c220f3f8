// The EEPROM's layout. A write may be torn by the power going at any byte: what was there before
// stays readable, since nothing is written over the newest sound copy.
//
//   16..34, 48..66   settings, two records used in turn, the later generation counts
//   96..159          boot numbers, 16 places used in turn: 100 000 writes each, far beyond need
//
// A record: generation, the settings as they lie in memory, CRC, high byte first.
#include "settings.h"

#include <string.h>

#include "crc.h"
#include "port.h"

#define CONTENT_SIZE (1u + sizeof(settings_t))
#define RECORD_SIZE (CONTENT_SIZE + 2u)
#define RECORD_FIRST 16u
#define RECORD_STEP 32u
#define BOOT_FIRST 96u
#define BOOT_PLACES 16u
#define BOOT_SIZE 4u

_Static_assert(sizeof(settings_t) == 16, "no gaps: the record is the same wherever it is made");

static uint8_t newest;      // which of the two records holds
static uint8_t generation;  // of that record
static const settings_t *storing;
static uint8_t written;  // bytes written so far; RECORD_SIZE if nothing is to be done
static uint16_t written_crc;

static uint16_t address_of(uint8_t which) {
  return (uint16_t)(RECORD_FIRST + which * RECORD_STEP);
}

// For start-up only: a write may outlive a restart.
static void wait_for_eeprom(void) {
  while (!port_eeprom_is_ready()) {
  }
}

static bool read_record(uint8_t which, uint8_t *of_generation, settings_t *settings) {
  uint16_t address = address_of(which);
  uint16_t crc = CRC_START;
  for (uint8_t i = 0; i < CONTENT_SIZE; i++) {
    uint8_t byte = port_eeprom_read(address++);
    crc = crc_add(crc, byte);
    if (i == 0) *of_generation = byte;
    else ((uint8_t *)settings)[i - 1u] = byte;
  }
  uint8_t high = port_eeprom_read(address++);
  return high == (uint8_t)(crc >> 8) && port_eeprom_read(address) == (uint8_t)crc;
}

void settings_load(settings_t *settings) {
  memset(settings, 0, sizeof *settings);
  settings->id[0] = 'S';
  settings->id[1] = '1';
  settings->block_us = BLOCK_US_DEFAULT;
  settings->rearm_us = REARM_US_DEFAULT;
  newest = 1;
  generation = 0;
  written = RECORD_SIZE;
  wait_for_eeprom();
  bool has_one = false;
  for (uint8_t which = 0; which < 2; which++) {
    settings_t read;
    uint8_t its;
    if (!read_record(which, &its, &read)) continue;
    if (has_one && (int8_t)(uint8_t)(its - generation) <= 0) continue;
    has_one = true;
    newest = which;
    generation = its;
    *settings = read;
  }
}

void settings_store(const settings_t *settings) {
  storing = settings;
  written = 0;
  written_crc = CRC_START;
}

static uint8_t next_byte(void) {
  if (written == CONTENT_SIZE) return (uint8_t)(written_crc >> 8);
  if (written > CONTENT_SIZE) return (uint8_t)written_crc;
  return written == 0 ? (uint8_t)(generation + 1u) : ((const uint8_t *)storing)[written - 1u];
}

bool settings_turn(void) {
  if (written == RECORD_SIZE || !port_eeprom_is_ready()) return false;
  uint8_t other = (uint8_t)(newest ^ 1u);
  uint8_t byte = next_byte();
  port_eeprom_write((uint16_t)(address_of(other) + written), byte);
  if (written < CONTENT_SIZE) written_crc = crc_add(written_crc, byte);
  written = (uint8_t)(written + 1u);
  if (written < RECORD_SIZE) return false;
  newest = other;
  generation = (uint8_t)(generation + 1u);
  return true;
}

static uint16_t read16(uint16_t address) {
  return (uint16_t)(port_eeprom_read(address) |
                    (uint16_t)((uint16_t)port_eeprom_read((uint16_t)(address + 1u)) << 8));
}

static void write16(uint16_t address, uint16_t value) {
  for (uint8_t i = 0; i < 2; i++) {
    wait_for_eeprom();
    port_eeprom_write((uint16_t)(address + i), (uint8_t)(value >> (8u * i)));
  }
  wait_for_eeprom();
}

// A place holds a boot number and its complement: empty or torn, they do not match.
uint16_t settings_next_boot(void) {
  uint16_t boot = 0;
  uint8_t place = BOOT_PLACES - 1u;
  bool has_one = false;
  wait_for_eeprom();
  for (uint8_t i = 0; i < BOOT_PLACES; i++) {
    uint16_t address = (uint16_t)(BOOT_FIRST + i * BOOT_SIZE);
    uint16_t number = read16(address);
    if ((uint16_t)(number ^ read16((uint16_t)(address + 2u))) != 0xFFFFu) continue;
    if (has_one && (int16_t)(uint16_t)(number - boot) <= 0) continue;
    has_one = true;
    boot = number;
    place = i;
  }
  boot = (uint16_t)(boot + 1u);
  place = (uint8_t)((place + 1u) % BOOT_PLACES);
  write16((uint16_t)(BOOT_FIRST + place * BOOT_SIZE), boot);
  write16((uint16_t)(BOOT_FIRST + place * BOOT_SIZE + 2u), (uint16_t)~boot);
  return boot;
}
