// Says what it meets at its pins, for the check of the simulated board (check.sh): nothing of a timing
// box is in it. Lines: "boot N" (counted in EEPROM), "beam L T", "button L", "read L", "got C".
#include <avr/eeprom.h>
#include <avr/io.h>
#include <stdint.h>

static void put(char c)
{
	while (!(UCSR0A & _BV(UDRE0))) {}
	UDR0 = (uint8_t)c;
}

static void say(const char *what, uint16_t number)
{
	while (*what) put(*what++);
	for (uint16_t unit = 10000; unit > 0; unit /= 10) put((char)('0' + number / unit % 10));
	put('\n');
}

int main(void)
{
	UCSR0A = _BV(U2X0);	// before the divisor: simavr works out the speed when that is written
	UBRR0 = 16;
	UCSR0B = _BV(RXEN0) | _BV(TXEN0);
	PORTB = _BV(PB0);
	PORTD = _BV(PD2) | _BV(PD4);
	uint8_t boots = (uint8_t)(eeprom_read_byte((const uint8_t *)0) + 1);
	eeprom_write_byte((uint8_t *)0, boots);
	say("boot ", boots);
	TCCR1B = _BV(ICES1) | _BV(CS11);	// rising edge, 0.5 us
	uint8_t before = PIND;
	for (;;) {
		if (TIFR1 & _BV(ICF1)) {
			uint16_t at = ICR1;
			uint8_t was_rising = TCCR1B & _BV(ICES1);
			TCCR1B ^= _BV(ICES1);
			TIFR1 = _BV(ICF1);
			say(was_rising ? "beam 1 " : "beam 0 ", at);
		}
		uint8_t now = PIND, changed = now ^ before;
		before = now;
		if (changed & _BV(PD2)) say("button ", now & _BV(PD2) ? 0 : 1);
		if (changed & _BV(PD4)) say("read ", now & _BV(PD4) ? 1 : 0);
		if (UCSR0A & _BV(RXC0)) say("got ", UDR0);
	}
}
