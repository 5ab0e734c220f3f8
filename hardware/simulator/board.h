// The board of a timing box in simavr: what happens at its pins, at exact instants of true time.
#ifndef BOARD_H
#define BOARD_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

// What can happen to a board, and what its value means.
typedef enum {
	BOARD_UART,	// a byte from the host begins at the instant
	BOARD_BEAM,	// 1 blocked, 0 seen
	BOARD_BUTTON,	// 1 pressed, 0 released
	BOARD_READER,	// a byte from the transponder reader begins at the instant
	BOARD_RESET,	// the reset line is pulled; no value
	BOARD_READER_LEVEL,	// within the simulator: one bit of such a byte
} board_kind;

// A byte that the box sent, and the true instant at which its start bit began.
typedef struct {
	uint64_t ns;
	uint8_t byte;
} board_sent;

typedef struct board board;

typedef struct {
	const char *elf;
	const char *eeprom;	// file to keep it in; NULL: forgotten at the end
	double ppm;		// how much its crystal runs fast
	unsigned battery_mv;
} board_options;

// NULL with a message on stderr if the program or the EEPROM file cannot be read.
board *board_new(const board_options *options);
void board_free(board *b);

// Something is going to happen; an instant that is past happens at once.
void board_at(board *b, uint64_t ns, board_kind kind, uint8_t value);

// Lets time pass up to a true instant. False if the processor stopped for ever.
bool board_run(board *b, uint64_t ns);

// Bytes sent since the last board_forget.
const board_sent *board_out(const board *b, size_t *count);
void board_forget(board *b, size_t count);

// The EEPROM to its file; also done at a reset and at the end.
bool board_keep_eeprom(board *b);

#endif
