// The board of a timing box in simavr. Driven by lockstep.c, pty.c and script.c.
//
// Nothing is done within simavr's own timers: what happens at the pins waits in a heap, and the run
// loop stops at the next of it. (A reset within a timer stops the processor.)
#include "board.h"

#include <errno.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <avr_adc.h>
#include <avr_eeprom.h>
#include <avr_ioport.h>
#include <avr_uart.h>
#include <sim_avr.h>
#include <sim_elf.h>

#define HZ 16000000.0
#define HOST_BIT_NS (1e9 / 115200.0)
#define READER_BIT_NS (1e9 / 9600.0)
// Pins, as the firmware has them.
#define BEAM_PORT 'B'
#define BEAM_PIN 0
#define BUTTON_PORT 'D'
#define BUTTON_PIN 2
#define READER_PIN 4
// The battery is at ADC0, through a divider by 3.
#define BATTERY_DIVIDER 3

typedef struct {
	avr_cycle_count_t cycle;
	uint64_t order;	// first come, first served at one instant
	board_kind kind;
	uint8_t value;
} happening;

struct board {
	avr_t *avr;
	avr_uart_t *uart;
	avr_irq_t *uart_in;
	void (*core_reset)(avr_t *avr);
	double cycles_per_ns;
	const char *eeprom_file;
	bool is_blocked, is_pressed, is_reader_high;
	bool was_reset;
	avr_cycle_count_t byte_cycles;	// of the line, as the firmware set it
	avr_cycle_count_t line_free;	// when the transmitter has sent what it has
	happening *heap;
	size_t heap_count, heap_room;
	uint64_t orders;
	board_sent *out;
	size_t out_count, out_room;
};

static void *grown(void *items, size_t *room, size_t count, size_t size)
{
	if (count < *room) return items;
	*room = *room ? 2 * *room : 64;
	void *more = realloc(items, *room * size);
	if (!more) {
		fprintf(stderr, "boxsim: no memory left\n");
		exit(1);
	}
	return more;
}

static avr_cycle_count_t cycle_at(const board *b, double ns)
{
	return (avr_cycle_count_t)(ns * b->cycles_per_ns + 0.5);
}

static uint64_t ns_at(const board *b, avr_cycle_count_t cycle)
{
	return (uint64_t)((double)cycle / b->cycles_per_ns + 0.5);
}

// --- the heap of what is going to happen

static bool is_before(const happening *a, const happening *b)
{
	return a->cycle != b->cycle ? a->cycle < b->cycle : a->order < b->order;
}

static void push(board *b, avr_cycle_count_t cycle, board_kind kind, uint8_t value)
{
	b->heap = grown(b->heap, &b->heap_room, b->heap_count, sizeof *b->heap);
	happening h = { cycle, b->orders++, kind, value };
	size_t i = b->heap_count++;
	for (; i > 0 && is_before(&h, &b->heap[(i - 1) / 2]); i = (i - 1) / 2)
		b->heap[i] = b->heap[(i - 1) / 2];
	b->heap[i] = h;
}

static happening pop(board *b)
{
	happening first = b->heap[0], last = b->heap[--b->heap_count];
	size_t i = 0;
	for (size_t child; (child = 2 * i + 1) < b->heap_count; i = child) {
		if (child + 1 < b->heap_count && is_before(&b->heap[child + 1], &b->heap[child])) child++;
		if (!is_before(&b->heap[child], &last)) break;
		b->heap[i] = b->heap[child];
	}
	b->heap[i] = last;
	return first;
}

void board_at(board *b, uint64_t ns, board_kind kind, uint8_t value)
{
	// The receiver has a byte in the middle of its stop bit.
	double late = kind == BOARD_UART ? 9.5 * HOST_BIT_NS : 0;
	push(b, cycle_at(b, (double)ns + late), kind, value);
}

// --- the pins

// simavr drives a pin back to its pull-up whenever the port is written, unless it is told of a level
// from outside.
static void hold_levels(board *b)
{
	avr_ioport_external_t beam = {
		.name = BEAM_PORT, .mask = 1 << BEAM_PIN, .value = (unsigned)b->is_blocked << BEAM_PIN,
	};
	avr_ioctl(b->avr, AVR_IOCTL_IOPORT_SET_EXTERNAL(BEAM_PORT), &beam);
	avr_ioport_external_t others = {
		.name = BUTTON_PORT,
		.mask = 1 << BUTTON_PIN | 1 << READER_PIN,
		.value = (unsigned)!b->is_pressed << BUTTON_PIN | (unsigned)b->is_reader_high << READER_PIN,
	};
	avr_ioctl(b->avr, AVR_IOCTL_IOPORT_SET_EXTERNAL(BUTTON_PORT), &others);
}

static void drive(board *b, char port, int pin, bool level)
{
	hold_levels(b);
	avr_raise_irq(avr_io_getirq(b->avr, AVR_IOCTL_IOPORT_GETIRQ(port), pin), level);
}

// After a reset simavr's registers read 0, while it takes the pins for unchanged and says nothing.
static void drive_again(board *b, char port, int pin, bool level)
{
	avr_irq_t *irq = avr_io_getirq(b->avr, AVR_IOCTL_IOPORT_GETIRQ(port), pin);
	uint8_t flags = avr_irq_get_flags(irq);
	avr_irq_set_flags(irq, flags & (uint8_t)~IRQ_FLAG_FILTERED);
	drive(b, port, pin, level);
	avr_irq_set_flags(irq, flags);
}

static void after_reset(board *b)
{
	b->was_reset = false;
	b->line_free = b->avr->cycle;
	drive_again(b, BEAM_PORT, BEAM_PIN, b->is_blocked);
	drive_again(b, BUTTON_PORT, BUTTON_PIN, !b->is_pressed);
	drive_again(b, BUTTON_PORT, READER_PIN, b->is_reader_high);
	board_keep_eeprom(b);
}

static void note_reset(avr_t *avr)
{
	board *b = avr->custom.data;
	if (b->core_reset) b->core_reset(avr);
	b->was_reset = true;
}

// --- the serial line

static void on_sent(avr_irq_t *irq, uint32_t value, void *param)
{
	(void)irq;
	board *b = param;
	// simavr tells of a byte when it is written; on the wire it waits for the one before.
	avr_cycle_count_t begins = b->avr->cycle > b->line_free ? b->avr->cycle : b->line_free;
	b->line_free = begins + b->byte_cycles;
	b->out = grown(b->out, &b->out_room, b->out_count, sizeof *b->out);
	b->out[b->out_count++] = (board_sent){ ns_at(b, begins), (uint8_t)value };
}

// simavr counts 11 bits a byte, a parity bit among them, whatever the frame; the firmware's has 10.
static void mend_baud(board *b)
{
	if (b->uart->cycles_per_byte == b->byte_cycles) return;
	b->byte_cycles = b->uart->cycles_per_byte * 10 / 11;
	b->uart->cycles_per_byte = b->byte_cycles;
}

// The byte is wholly there, and not a byte time later, as simavr has it by itself.
static void receive(board *b, uint8_t byte)
{
	b->uart->cycles_per_byte = 1;
	avr_raise_irq(b->uart_in, byte);
	b->uart->cycles_per_byte = b->byte_cycles;
}

static void read_transponder(board *b, avr_cycle_count_t begins, uint8_t byte)
{
	unsigned bits = (unsigned)byte << 1 | 1u << 9;	// start 0, data, stop 1
	for (int i = 0; i < 10; i++) {
		double ns = (double)begins / b->cycles_per_ns + i * READER_BIT_NS;
		push(b, cycle_at(b, ns), BOARD_READER_LEVEL, bits >> i & 1);
	}
}

static void happen(board *b, const happening *h)
{
	switch (h->kind) {
	case BOARD_UART:
		receive(b, h->value);
		break;
	case BOARD_BEAM:
		b->is_blocked = h->value;
		drive(b, BEAM_PORT, BEAM_PIN, b->is_blocked);
		break;
	case BOARD_BUTTON:
		b->is_pressed = h->value;
		drive(b, BUTTON_PORT, BUTTON_PIN, !b->is_pressed);
		break;
	case BOARD_READER:
		read_transponder(b, h->cycle, h->value);
		break;
	case BOARD_READER_LEVEL:
		b->is_reader_high = h->value;
		drive(b, BUTTON_PORT, READER_PIN, b->is_reader_high);
		break;
	case BOARD_RESET:
		avr_reset(b->avr);
		after_reset(b);
		break;
	}
}

// --- the processor

static avr_cycle_count_t stop_here(avr_t *avr, avr_cycle_count_t when, void *param)
{
	(void)avr, (void)when, (void)param;
	return 0;
}

static void run_to(board *b, avr_cycle_count_t cycle)
{
	avr_t *avr = b->avr;
	if (avr->cycle >= cycle) return;
	avr_cycle_timer_register(avr, cycle - avr->cycle, stop_here, b);
	while (avr->cycle < cycle && avr->state != cpu_Done && avr->state != cpu_Crashed) {
		mend_baud(b);
		avr_run(avr);
		if (b->was_reset) {
			after_reset(b);	// by the watchdog: the timers are gone
			avr_cycle_timer_register(avr, cycle - avr->cycle, stop_here, b);
		}
	}
	avr_cycle_timer_cancel(avr, stop_here, b);
}

bool board_run(board *b, uint64_t ns)
{
	avr_cycle_count_t until = cycle_at(b, (double)ns);
	while (b->heap_count > 0 && b->heap[0].cycle <= until) {
		run_to(b, b->heap[0].cycle);
		happening h = pop(b);
		happen(b, &h);
	}
	run_to(b, until);
	return b->avr->state != cpu_Done && b->avr->state != cpu_Crashed;
}

const board_sent *board_out(const board *b, size_t *count)
{
	*count = b->out_count;
	return b->out;
}

void board_forget(board *b, size_t count)
{
	b->out_count -= count;
	memmove(b->out, b->out + count, b->out_count * sizeof *b->out);
}

// --- the EEPROM

static avr_eeprom_desc_t eeprom_of(board *b)
{
	avr_eeprom_desc_t all = { .ee = NULL, .offset = 0, .size = b->avr->e2end + 1u };
	avr_ioctl(b->avr, AVR_IOCTL_EEPROM_GET, &all);
	return all;
}

bool board_keep_eeprom(board *b)
{
	if (!b->eeprom_file) return true;
	avr_eeprom_desc_t all = eeprom_of(b);
	FILE *f = fopen(b->eeprom_file, "wb");
	bool is_kept = f && fwrite(all.ee, 1, all.size, f) == all.size;
	if (f && fclose(f) != 0) is_kept = false;
	if (!is_kept) fprintf(stderr, "boxsim: %s: %s\n", b->eeprom_file, strerror(errno));
	return is_kept;
}

// A new chip's EEPROM is all ones.
static bool load_eeprom(board *b)
{
	avr_eeprom_desc_t all = eeprom_of(b);
	memset(all.ee, 0xff, all.size);
	if (!b->eeprom_file) return true;
	FILE *f = fopen(b->eeprom_file, "rb");
	if (!f && errno == ENOENT) return true;
	if (!f) {
		fprintf(stderr, "boxsim: %s: %s\n", b->eeprom_file, strerror(errno));
		return false;
	}
	size_t got = fread(all.ee, 1, all.size, f);
	fclose(f);
	if (got == all.size) return true;
	fprintf(stderr, "boxsim: %s holds %zu of %u bytes\n", b->eeprom_file, got, all.size);
	return false;
}

// --- beginning and end

static void log_errors(avr_t *avr, const int level, const char *format, va_list args)
{
	(void)avr;
	if (level <= LOG_ERROR) vfprintf(stderr, format, args);
}

// A sleeping processor costs no time here: what it waits for is done next.
static void sleep_none(avr_t *avr, avr_cycle_count_t cycles)
{
	(void)avr, (void)cycles;
}

static avr_uart_t *first_uart(avr_t *avr)
{
	for (avr_io_t *io = avr->io_port; io; io = io->next)
		if (strcmp(io->kind, "uart") == 0 && ((avr_uart_t *)io)->name == '0') return (avr_uart_t *)io;
	return NULL;
}

board *board_new(const board_options *options)
{
	avr_global_logger_set(log_errors);
	elf_firmware_t program = { 0 };
	if (elf_read_firmware(options->elf, &program) != 0) {
		fprintf(stderr, "boxsim: %s: no program that can be read\n", options->elf);
		return NULL;
	}
	board *b = calloc(1, sizeof *b);
	avr_t *avr = avr_make_mcu_by_name("atmega328p");
	if (!b || !avr) {
		fprintf(stderr, "boxsim: this simavr knows no atmega328p\n");
		free(b);
		return NULL;
	}
	b->avr = avr;
	avr_init(avr);
	avr_load_firmware(avr, &program);
	avr->frequency = (uint32_t)HZ;
	avr->vcc = avr->avcc = avr->aref = 5000;
	avr->sleep = sleep_none;
	avr->custom.data = b;
	b->core_reset = avr->reset;
	avr->reset = note_reset;
	b->cycles_per_ns = HZ * (1 + options->ppm * 1e-6) / 1e9;
	b->eeprom_file = options->eeprom;
	b->is_reader_high = true;
	b->uart = first_uart(avr);
	uint32_t no_flags = 0;	// neither echoed to the screen nor slowed down when polled
	avr_ioctl(avr, AVR_IOCTL_UART_SET_FLAGS('0'), &no_flags);
	b->uart_in = avr_io_getirq(avr, AVR_IOCTL_UART_GETIRQ('0'), UART_IRQ_INPUT);
	avr_irq_t *uart_out = avr_io_getirq(avr, AVR_IOCTL_UART_GETIRQ('0'), UART_IRQ_OUTPUT);
	avr_irq_register_notify(uart_out, on_sent, b);
	avr_raise_irq(avr_io_getirq(avr, AVR_IOCTL_ADC_GETIRQ, ADC_IRQ_ADC0),
		      options->battery_mv / BATTERY_DIVIDER);
	if (!load_eeprom(b)) {
		board_free(b);
		return NULL;
	}
	after_reset(b);
	return b;
}

void board_free(board *b)
{
	avr_terminate(b->avr);
	free(b->heap);
	free(b->out);
	free(b);
}
