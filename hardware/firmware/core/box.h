// The timing box: joins beam, button, reader, host and relay. Called by main, and by the receive
// interrupt.
#ifndef BOX_H
#define BOX_H

#include <stdint.h>

#include "stamp.h"

// After switching on: takes a new boot number, loads the settings, opens the ports.
void box_start(void);

// One turn of the main loop; begins at most one line. Never waits.
void box_turn(void);

// A byte of the host, or 0 in place of one that came damaged. For the receive interrupt. `at` is
// looked at for ':' only.
void box_host_byte(uint8_t byte, stamp_t at);

#endif
