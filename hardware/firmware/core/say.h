// The lines of a box, written byte by byte into the host's port, which must have LINE_MOST bytes
// free. Called by the box's main loop only.
#ifndef SAY_H
#define SAY_H

#include <stdint.h>

#include "flash.h"
#include "ring.h"
#include "settings.h"

#define FIRMWARE_VERSION "1.0.0"  // eight characters at most

// Kinds of event, as numbered in event_t.
extern const IN_FLASH char say_kinds[];

// Who speaks: in every line.
typedef struct {
  const char *id;
  uint16_t boot;
} speaker_t;

typedef struct {
  uint16_t battery_mv;
  uint8_t beam_percent;
  uint16_t glitches;
  uint16_t overwritten;
  uint16_t bad_input;
} health_t;

// What a clock question brought and when.
typedef struct {
  uint8_t token_length;
  uint8_t t1_length;
  char token[9];
  char t1[15];
  stamp_t t2;
} query_t;

void say_boot(speaker_t who, uint8_t role, stamp_t now, const ring_t *ring);
void say_event(speaker_t who, uint32_t seq, const event_t *event);
void say_heartbeat(speaker_t who, stamp_t now, const ring_t *ring, const health_t *health);
void say_gone(speaker_t who, uint32_t from, uint32_t to);

// The transmitter must be idle: the ':' goes into it at once, its instant is t3, and the rest is made
// while it is on the wire.
void say_reply(speaker_t who, const query_t *query);

#endif
