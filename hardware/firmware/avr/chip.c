// port.h for the ATmega328P with a 16 MHz crystal.
//
//   PB0 ICP1    beam receiver, pulled up: high is blocked, so a torn cable reads blocked
//   PB5         lamp: on while the beam is blocked
//   PD0 PD1     host, UART 0
//   PD2 INT0    button to ground
//   PD3         line out of the second port (driven when relaying only)
//   PD4 PCINT20 line in of the second port, idle high
//   PC0 ADC0    battery through a divider by 3
//
// Timer 1 runs freely and is written never; timer 2 takes the bits of the second port, timer 0 gives
// them. An interrupt takes an instant or a byte, puts it away and returns. What an interrupt and the
// main loop share is volatile, one byte wide or read with interrupts off, and says who writes it.
#include "chip.h"

#include <avr/interrupt.h>
#include <avr/io.h>
#include <avr/sleep.h>
#include <avr/wdt.h>
#include <util/atomic.h>

#include "box.h"
#include "port.h"

#ifndef CLOCK_PRESET_US
#define CLOCK_PRESET_US 0  // a test starts the clock shortly before a wrap
#endif
#define CLOCK_PRESET_TICKS ((uint64_t)(CLOCK_PRESET_US) * TICKS_PER_US)

// --- Clock --------------------------------------------------------------------------------------

static uint32_t overflows;  // written by the overflow interrupt; read with interrupts off

// In an interrupt, or with interrupts off.
static stamp_t extended(uint16_t count) {
  return stamp_extend(overflows, (TIFR1 & _BV(TOV1)) != 0, count);
}

ISR(TIMER1_OVF_vect) {
  overflows++;
}

// The count is read before the flag: a run over in between leaves a count in the upper half, which
// the flag does not touch.
static stamp_t now_in_interrupt(void) {
  uint16_t count = TCNT1;
  return extended(count);
}

stamp_t port_now(void) {
  stamp_t now;
  ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
    now = now_in_interrupt();
  }
  return now;
}

// --- Beam ---------------------------------------------------------------------------------------

#define EDGES 8u  // a power of two

static edge_t edges[EDGES];
static volatile uint8_t edge_in;   // written by the capture interrupt
static volatile uint8_t edge_out;  // written by the main loop

// The edge that is awaited next: rising is blocking. Written by the capture interrupt, and by the
// main loop with interrupts off.
static bool awaits_blocked(void) {
  return (TCCR1B & _BV(ICES1)) != 0;
}

// Awaits the other edge. Changing it may set the flag (data sheet), which would be an edge that was
// none; it is cleared only if it is set: one kind of simulated timer loses its other flags with it.
static void await_other_edge(void) {
  TCCR1B ^= _BV(ICES1);
  if ((TIFR1 & _BV(ICF1)) != 0) TIFR1 = _BV(ICF1);
}

// The timer has latched the edge by itself: how late this runs does not matter. With no room the edge
// stays awaited, and the main loop makes good for it.
ISR(TIMER1_CAPT_vect) {
  uint16_t count = ICR1;
  uint8_t in = edge_in;
  if ((uint8_t)(in - edge_out) == EDGES) return;
  edge_t *edge = &edges[in % EDGES];
  edge->at = extended(count);
  edge->is_blocked = awaits_blocked();
  port_fence();
  edge_in = (uint8_t)(in + 1u);
  await_other_edge();
}

bool port_is_blocked(void) {
  return (PINB & _BV(PINB0)) != 0;
}

// The pin stands where the awaited edge would bring it, and nothing was captured: a blink shorter
// than the interrupt. Looked at twice, further apart than the noise canceller's four cycles, so that
// no edge that is just being captured is taken for a missed one. The time is that of the discovery.
static bool take_missed_edge(edge_t *edge) {
  bool is_missed = false;
  ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
    if (edge_in == edge_out && port_is_blocked() == awaits_blocked()) {
      __builtin_avr_delay_cycles(16);
      if (port_is_blocked() == awaits_blocked() && (TIFR1 & _BV(ICF1)) == 0) {
        edge->at = now_in_interrupt();
        edge->is_blocked = awaits_blocked();
        await_other_edge();
        is_missed = true;
      }
    }
  }
  return is_missed;
}

bool port_take_edge(edge_t *edge) {
  uint8_t out = edge_out;
  if (edge_in == out) return take_missed_edge(edge);
  port_fence();
  *edge = edges[out % EDGES];
  port_fence();
  edge_out = (uint8_t)(out + 1u);
  return true;
}

// --- Button -------------------------------------------------------------------------------------

static stamp_t press_at;         // written by the interrupt while there is no press
static volatile bool has_press;  // set by the interrupt, cleared by the main loop

ISR(INT0_vect) {
  if (has_press) return;
  press_at = now_in_interrupt();
  port_fence();
  has_press = true;
}

bool port_is_button_down(void) {
  return (PIND & _BV(PIND2)) == 0;
}

bool port_take_press(stamp_t *at) {
  if (!has_press) return false;
  port_fence();
  *at = press_at;
  port_fence();
  has_press = false;
  return true;
}

// --- Battery ------------------------------------------------------------------------------------

#define BAND_GAP_MV UINT32_C(1100)
#define DIVIDER UINT32_C(3)
#define BATTERY_MOST_MV 9999u  // four digits: the longest heartbeat fits its line
#define MUX_BATTERY 0u
#define MUX_BAND_GAP 14u

static uint16_t battery_mv;

static void begin_conversion(uint8_t mux) {
  ADMUX = (uint8_t)(_BV(REFS0) | mux);
  ADCSRA |= _BV(ADSC);
}

// Battery and the chip's own 1.1 V are measured in turn against the supply, which drops out of their
// ratio: it may be regulated or the battery itself. The first conversion after each change of input
// is thrown away, since the source needs some time.
static void watch_battery(void) {
  static uint8_t step;
  static uint16_t battery;
  if ((ADCSRA & _BV(ADSC)) != 0) return;
  uint16_t value = ADC;
  if (step == 1) battery = value;
  if (step == 3 && value != 0) {
    uint32_t mv = BAND_GAP_MV * DIVIDER * battery / value;
    battery_mv = mv > BATTERY_MOST_MV ? BATTERY_MOST_MV : (uint16_t)mv;
  }
  step = (uint8_t)((step + 1u) & 3u);
  begin_conversion(step < 2 ? MUX_BATTERY : MUX_BAND_GAP);
}

uint16_t port_battery_mv(void) {
  return battery_mv;
}

// --- The host's port ----------------------------------------------------------------------------

// A line and the end of the one before it: the wire never waits for the next.
#define SENDS 96u

static uint8_t sends[SENDS];
static uint8_t send_in;                // place of the next one in; written by the main loop
static volatile uint8_t send_waiting;  // written by both, by the main loop with interrupts off
static uint8_t send_out;               // written by the transmit interrupt
static volatile bool has_sent;     // set for ever with the first byte

// 16 MHz, double speed: 117647 and 9615 baud. Double speed first: one simulated port works out its
// speed when the divider is written.
void port_open_host(bool is_slow) {
  UCSR0A = _BV(U2X0);
  UBRR0 = is_slow ? 207 : 16;
  UCSR0C = _BV(UCSZ01) | _BV(UCSZ00);
  UCSR0B = _BV(RXEN0) | _BV(TXEN0) | _BV(RXCIE0);
}

ISR(USART_RX_vect) {
  stamp_t at = {0, 0};
  bool is_damaged = (UCSR0A & (_BV(FE0) | _BV(DOR0))) != 0;
  uint8_t byte = UDR0;
  if (byte == ':') at = now_in_interrupt();
  box_host_byte(is_damaged ? 0 : byte, at);
}

// The flag of the last byte gone is cleared after the byte is in: it cannot be set again before that
// byte has left.
static inline __attribute__((always_inline)) void transmit(uint8_t byte) {
  UDR0 = byte;
  UCSR0A = _BV(U2X0) | _BV(TXC0);
  has_sent = true;
}

ISR(USART_UDRE_vect) {
  if (send_waiting == 0) {
    UCSR0B &= (uint8_t)~_BV(UDRIE0);
    return;
  }
  transmit(sends[send_out]);
  send_out = send_out == SENDS - 1u ? 0 : (uint8_t)(send_out + 1u);
  send_waiting = (uint8_t)(send_waiting - 1u);
}

uint8_t port_send_free(void) {
  return (uint8_t)(SENDS - send_waiting);
}

void port_send(uint8_t byte) {
  sends[send_in] = byte;
  send_in = send_in == SENDS - 1u ? 0 : (uint8_t)(send_in + 1u);
  ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
    send_waiting = (uint8_t)(send_waiting + 1u);
    UCSR0B |= _BV(UDRIE0);
  }
}

bool port_is_send_idle(void) {
  if (send_waiting != 0) return false;
  return !has_sent || (UCSR0A & _BV(TXC0)) != 0;
}

stamp_t port_send_now(uint8_t byte) {
  stamp_t at;
  ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
    uint16_t count = TCNT1;
    transmit(byte);
    at = extended(count);
  }
  return at;
}

// --- The second port ----------------------------------------------------------------------------

#define BIT_TICKS 208u  // 16 MHz / 8 / 9600, 0.16 % fast
#define SECONDS 16u     // a power of two; 16 ms worth

static uint8_t second_bytes[SECONDS];
static uint16_t second_counts[SECONDS];  // of timer 1, at the byte's end
static volatile uint8_t second_in;       // written by the bit interrupt
static volatile uint8_t second_out;      // written by the main loop
static uint8_t rx_bit;                   // 0 start, 1 to 8 data, 9 stop; interrupts only
static uint8_t rx_shift;

static volatile uint16_t tx_bits;  // lowest goes out next; 0: idle. Written by the main loop while 0

// Timers 0 and 2 count from 0 to BIT_TICKS - 1, an interrupt a turn.
void port_open_second(bool is_relay) {
  TCCR2A = _BV(WGM21);
  OCR2A = BIT_TICKS - 1u;
  TCCR2B = _BV(CS21);
  PCMSK2 = _BV(PCINT20);
  PCICR = _BV(PCIE2);
  PORTD |= _BV(PORTD3);
  if (!is_relay) {
    DDRD &= (uint8_t)~_BV(DDD3);
    return;
  }
  DDRD |= _BV(DDD3);
  TCCR0A = _BV(WGM01);
  OCR0A = BIT_TICKS - 1u;
  TCCR0B = _BV(CS01);
}

// A start bit begins: half a bit from now is its middle. Until the byte is over, its edges are none
// of this interrupt's business.
ISR(PCINT2_vect) {
  if ((PIND & _BV(PIND4)) != 0) return;
  TCNT2 = BIT_TICKS / 2u;
  TIFR2 = _BV(OCF2A);
  TIMSK2 = _BV(OCIE2A);
  PCMSK2 = 0;
  rx_bit = 0;
}

static void second_done(void) {
  TIMSK2 = 0;
  PCIFR = _BV(PCIF2);
  PCMSK2 = _BV(PCINT20);
}

ISR(TIMER2_COMPA_vect) {
  uint16_t count = TCNT1;
  bool is_high = (PIND & _BV(PIND4)) != 0;
  if (rx_bit == 0) {
    if (is_high) second_done();  // a spike, no start bit
    rx_bit = 1;
    return;
  }
  if (rx_bit <= 8) {
    rx_shift = (uint8_t)((rx_shift >> 1) | (is_high ? 0x80u : 0u));
    rx_bit++;
    return;
  }
  second_done();
  uint8_t in = second_in;
  if ((uint8_t)(in - second_out) == SECONDS) return;  // its line then fails its check
  second_bytes[in % SECONDS] = is_high ? rx_shift : 0;
  second_counts[in % SECONDS] = count;
  port_fence();
  second_in = (uint8_t)(in + 1u);
}

bool port_take_second(uint8_t *byte, stamp_t *at) {
  uint8_t out = second_out;
  if (second_in == out) return false;
  port_fence();
  *byte = second_bytes[out % SECONDS];
  *at = stamp_before(port_now(), second_counts[out % SECONDS]);
  port_fence();
  second_out = (uint8_t)(out + 1u);
  return true;
}

ISR(TIMER0_COMPA_vect) {
  uint16_t bits = tx_bits;
  if (bits == 0) {
    TIMSK0 = 0;
    return;
  }
  if ((bits & 1u) != 0) PORTD |= _BV(PORTD3);
  else PORTD &= (uint8_t)~_BV(PORTD3);
  tx_bits = bits >> 1;
}

// Idle only once the stop bit has lasted: the interrupt has then closed itself.
bool port_is_second_idle(void) {
  return TIMSK0 == 0;
}

// Start bit, eight bits, stop bit. The first leaves with the timer's next turn, 104 us at most.
void port_send_second(uint8_t byte) {
  tx_bits = (uint16_t)(0x200u | (uint16_t)((uint16_t)byte << 1));
  TIFR0 = _BV(OCF0A);
  TIMSK0 = _BV(OCIE0A);
}

// --- EEPROM -------------------------------------------------------------------------------------

bool port_eeprom_is_ready(void) {
  return (EECR & _BV(EEPE)) == 0;
}

uint8_t port_eeprom_read(uint16_t address) {
  EEAR = address;
  EECR |= _BV(EERE);
  return EEDR;
}

void port_eeprom_write(uint16_t address, uint8_t byte) {
  EEAR = address;
  EEDR = byte;
  ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
    EECR = _BV(EEMPE);
    EECR |= _BV(EEPE);
  }
}

// --- Start --------------------------------------------------------------------------------------

// After a restart by the watchdog it goes on running, at its shortest, until it is stopped: before
// anything else.
__attribute__((naked, used, section(".init3"))) static void stop_watchdog(void) {
  MCUSR = 0;
  wdt_disable();
}

void port_restart(void) {
  wdt_enable(WDTO_15MS);
  wdt_reset();  // from now on, and not from when the 2 s began
  for (;;) {
  }
}

void chip_start(void) {
  PORTB = _BV(PORTB0);
  DDRB = _BV(DDB5);
  // Pulled up: the button, both lines in, and the line out as long as nothing drives it.
  PORTD = _BV(PORTD0) | _BV(PORTD2) | _BV(PORTD3) | _BV(PORTD4);

  overflows = (uint32_t)(CLOCK_PRESET_TICKS >> 16);
  TCCR1A = 0;
  TCNT1 = (uint16_t)CLOCK_PRESET_TICKS;
  TCCR1B = _BV(ICNC1) | _BV(ICES1) | _BV(CS11);
  TIMSK1 = _BV(ICIE1) | _BV(TOIE1);

  EICRA = _BV(ISC01);
  EIMSK = _BV(INT0);

  DIDR0 = _BV(ADC0D);
  ADCSRA = _BV(ADEN) | _BV(ADPS2) | _BV(ADPS1) | _BV(ADPS0);
  begin_conversion(MUX_BATTERY);
  sei();
}

void chip_turn(void) {
  watch_battery();
  bool is_lit = (PORTB & _BV(PORTB5)) != 0;
  if (is_lit != port_is_blocked()) PORTB ^= _BV(PORTB5);
}

EMPTY_INTERRUPT(TIMER1_COMPB_vect)

enum { REST_TICKS = 800 };

void chip_rest(void) {
  cli();
  OCR1B = (uint16_t)(TCNT1 + REST_TICKS);
  TIMSK1 |= _BV(OCIE1B);
  sleep_enable();
  sei();
  sleep_cpu();
  sleep_disable();
}
