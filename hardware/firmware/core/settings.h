// What a box keeps while it is switched off: who it is, how it listens, how often it was started.
// Called by the box's main loop only.
#ifndef SETTINGS_H
#define SETTINGS_H

#include <stdbool.h>
#include <stdint.h>

#define ID_MOST 4u

// 0 start, 1 finish, 2 to 10 the splits P1 to P9.
#define ROLE_START 0u
#define ROLE_FINISH 1u
#define ROLE_LAST 10u

// What hangs at the second port.
#define AUX_READER 0u  // a transponder reader
#define AUX_RELAY 1u   // another box, or its radio

// What hangs at the host's port.
// The speed changes when the box is switched on again.
#define LINK_CABLE 0u       // 115200 baud, heartbeat every 2 s
#define LINK_RADIO 1u       // 115200 baud, heartbeat every 12 s, 50 ms of silence after each line
#define LINK_RADIO_SLOW 2u  // the same at 9600 baud: the far end of a relay
#define LINK_LAST LINK_RADIO_SLOW

// chosen: wide enough for any bike and gate; outside them a box would tell every leaf, or no rider.
#define BLOCK_US_LEAST UINT32_C(500)
#define BLOCK_US_MOST UINT32_C(1000000)
#define REARM_US_LEAST UINT32_C(50000)
#define REARM_US_MOST UINT32_C(30000000)

typedef struct {
  char id[ID_MOST + 1u];  // ended by a zero
  uint8_t role;
  uint8_t aux;
  uint8_t link;
  uint32_t block_us;
  uint32_t rearm_us;
} settings_t;  // stored as it lies here

// Takes the newest sound record; the defaults (S1, start) if there is none. For start-up only: may wait
// for a write that is under way.
void settings_load(settings_t *settings);

// Begins to store them, in the background, without touching the record that holds now. They must stay
// where they are; after a change in between, call it again.
void settings_store(const settings_t *settings);

// Writes on. True once, when all is stored.
bool settings_turn(void);

// The number of this boot, one more than the last one's; stored before it is returned. Takes some
// milliseconds: for start-up only.
uint16_t settings_next_boot(void);

#endif
