// What the core needs of the chip: pins, timer, serial ports, EEPROM. avr/ has it for the ATmega328P,
// test/ for a PC. Nothing here waits for anything.
#ifndef PORT_H
#define PORT_H

#include <stdatomic.h>
#include <stdbool.h>
#include <stdint.h>

#include "pass.h"
#include "stamp.h"

// Between a flag that an interrupt and the main loop share and what the flag is about: the compiler
// moves nothing across.
#define port_fence() atomic_signal_fence(memory_order_seq_cst)

stamp_t port_now(void);

// Beam and button. Edges and presses come in the order in which they happened.
bool port_is_blocked(void);
bool port_take_edge(edge_t *edge);
bool port_is_button_down(void);
bool port_take_press(stamp_t *at);

// What the battery has, millivolt.
uint16_t port_battery_mv(void);

// The host's port. Received bytes come to box_host_byte by themselves.
// Opens it at 9600 baud if `is_slow`, else at 115200.
void port_open_host(bool is_slow);
// Bytes that port_send may be called with before it would lose one.
uint8_t port_send_free(void);
void port_send(uint8_t byte);
// Nothing waits and nothing is on the wire.
bool port_is_send_idle(void);
// Puts the byte into the idle transmitter: the instant at which it begins to leave.
stamp_t port_send_now(uint8_t byte);

// The second port, in software: 9600 baud 8N1. Its line out is driven only if `is_relay`. May be
// called again when that changes.
void port_open_second(bool is_relay);
// `at`: the middle of the byte's stop bit. A byte without one comes as 0.
bool port_take_second(uint8_t *byte, stamp_t *at);
bool port_is_second_idle(void);
void port_send_second(uint8_t byte);

// EEPROM. A write takes a few milliseconds; none may be begun, nor a byte read, before it is ready.
bool port_eeprom_is_ready(void);
uint8_t port_eeprom_read(uint16_t address);
void port_eeprom_write(uint16_t address, uint8_t byte);

// Restarts the chip through its watchdog. Returns in tests only.
void port_restart(void);

#endif
