// A box in step with the program at standard input: virtual time, exact, as fast as the machine goes.
//
// Request and answer are binary, little-endian, all times true nanoseconds:
//   request   u64 run up to, u32 count, count times (u64 at, u8 kind, u8 value); kinds as in board.h
//   answer    u64 stands at, u32 count, count times (u64 start bit at, u8 byte)
// The end of the input is the end. An instant that is past happens at once.
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "modes.h"

enum { HEAD = 12, ITEM_IN = 10, ITEM_OUT = 9, MOST = 1 << 20 };

static uint64_t number(const uint8_t *from, int bytes)
{
	uint64_t value = 0;
	for (int i = bytes - 1; i >= 0; i--) value = value << 8 | from[i];
	return value;
}

static void put(uint8_t *to, uint64_t value, int bytes)
{
	for (int i = 0; i < bytes; i++) to[i] = (uint8_t)(value >> 8 * i);
}

// 1 all of it, 0 the end before its first byte, -1 broken off.
static int read_all(uint8_t *to, size_t length)
{
	size_t got = 0;
	while (got < length) {
		ssize_t n = read(STDIN_FILENO, to + got, length - got);
		if (n < 0 && errno == EINTR) continue;
		if (n <= 0) return got == 0 && n == 0 ? 0 : -1;
		got += (size_t)n;
	}
	return 1;
}

static bool write_all(const uint8_t *from, size_t length)
{
	while (length > 0) {
		ssize_t n = write(STDOUT_FILENO, from, length);
		if (n < 0 && errno == EINTR) continue;
		if (n <= 0) return false;
		from += n;
		length -= (size_t)n;
	}
	return true;
}

static bool answer(board *b, uint64_t now)
{
	size_t count;
	const board_sent *out = board_out(b, &count);
	size_t length = HEAD + count * ITEM_OUT;
	uint8_t *frame = malloc(length);
	if (!frame) return false;
	put(frame, now, 8);
	put(frame + 8, count, 4);
	for (size_t i = 0; i < count; i++) {
		put(frame + HEAD + i * ITEM_OUT, out[i].ns, 8);
		frame[HEAD + i * ITEM_OUT + 8] = out[i].byte;
	}
	board_forget(b, count);
	bool is_written = write_all(frame, length);
	free(frame);
	return is_written;
}

int run_lockstep(board *b)
{
	uint8_t *items = malloc((size_t)MOST * ITEM_IN);
	uint8_t head[HEAD];
	int got = items ? 1 : -1;
	while (got == 1 && (got = read_all(head, HEAD)) == 1) {
		uint64_t until = number(head, 8);
		size_t count = number(head + 8, 4);
		if (count > MOST || (count > 0 && read_all(items, count * ITEM_IN) != 1)) {
			got = -1;
			break;
		}
		for (size_t i = 0; i < count; i++) {
			const uint8_t *item = items + i * ITEM_IN;
			if (item[8] <= BOARD_RESET) board_at(b, number(item, 8), (board_kind)item[8], item[9]);
		}
		if (!board_run(b, until)) {
			fprintf(stderr, "boxsim: the processor has stopped\n");
			got = -1;
		} else if (!answer(b, until)) got = -1;
	}
	free(items);
	return got == 0 ? 0 : 1;
}
