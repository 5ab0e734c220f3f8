// A box on a pseudo-terminal of its own, paced to real time: what a program at a serial port meets.
#define _GNU_SOURCE
#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <pty.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "modes.h"
#include "script.h"

#define BYTE_NS (10e9 / 115200.0)
#define STEP_NS 1000000u

// The cable: its box's end, and the far end, kept open so that what is sent while nobody listens is
// not an error. Both -1 while it is out.
typedef struct {
	const char *link;
	int master, slave;
} cable;

static volatile sig_atomic_t is_over;

static void on_signal(int number)
{
	(void)number;
	is_over = 1;
}

static bool plug(cable *c)
{
	char name[128];
	struct termios raw;
	if (c->master >= 0) return true;
	memset(&raw, 0, sizeof raw);
	cfmakeraw(&raw);
	if (openpty(&c->master, &c->slave, name, &raw, NULL) != 0) {
		perror("boxsim: pseudo-terminal");
		return false;
	}
	fcntl(c->master, F_SETFL, O_NONBLOCK);
	unlink(c->link);
	if (symlink(name, c->link) == 0) return true;
	fprintf(stderr, "boxsim: %s: %s\n", c->link, strerror(errno));
	return false;
}

static void unplug(cable *c)
{
	if (c->master < 0) return;
	unlink(c->link);
	close(c->master);
	close(c->slave);
	c->master = c->slave = -1;
}

// From the host, a byte each byte time.
static void hear(board *b, const cable *c, uint64_t now, uint64_t *line_free)
{
	uint8_t bytes[256];
	ssize_t n = c->master < 0 ? 0 : read(c->master, bytes, sizeof bytes);
	for (ssize_t i = 0; i < n; i++) {
		uint64_t at = *line_free > now ? *line_free : now;
		board_at(b, at, BOARD_UART, bytes[i]);
		*line_free = at + (uint64_t)BYTE_NS;
	}
}

// To the host what has wholly left; lost if the cable is out or nobody reads.
static void speak(board *b, const cable *c, uint64_t now)
{
	size_t count, whole = 0;
	const board_sent *out = board_out(b, &count);
	uint8_t bytes[256];
	while (whole < count && whole < sizeof bytes && out[whole].ns + BYTE_NS <= (double)now) {
		bytes[whole] = out[whole].byte;
		whole++;
	}
	if (whole == 0) return;
	if (c->master >= 0 && write(c->master, bytes, whole) < 0 && errno != EAGAIN)
		perror("boxsim: pseudo-terminal");
	board_forget(b, whole);
}

// Lines of standard input as they come, "+" from now. False at its end.
static bool obey(board *b, cable *c, uint64_t now)
{
	static char line[256];
	static size_t length;
	char byte;
	ssize_t n;
	while ((n = read(STDIN_FILENO, &byte, 1)) == 1) {
		if (byte != '\n' && length < sizeof line - 1) {
			line[length++] = byte;
			continue;
		}
		line[length] = '\0';
		length = 0;
		uint64_t at;
		script_said said = script_line(b, line, now, &at);
		if (said == SCRIPT_PLUG) plug(c);
		if (said == SCRIPT_UNPLUG) unplug(c);
		printf("%s\n", said == SCRIPT_WRONG ? "wrong" : "done");
		fflush(stdout);
	}
	return n != 0;
}

static uint64_t real_ns(void)
{
	struct timespec t;
	clock_gettime(CLOCK_MONOTONIC, &t);
	return (uint64_t)t.tv_sec * 1000000000u + (uint64_t)t.tv_nsec;
}

static void wait_until(uint64_t ns)
{
	uint64_t now = real_ns();
	if (ns <= now) return;
	struct timespec left = { (time_t)((ns - now) / 1000000000u), (long)((ns - now) % 1000000000u) };
	nanosleep(&left, NULL);
}

int run_pty(board *b, const char *link, double speed, uint64_t until_ns)
{
	cable c = { link, -1, -1 };
	if (!plug(&c)) return 1;
	signal(SIGTERM, on_signal);
	signal(SIGINT, on_signal);
	fcntl(STDIN_FILENO, F_SETFL, fcntl(STDIN_FILENO, F_GETFL) | O_NONBLOCK);
	printf("ready\n");
	fflush(stdout);
	bool is_input_open = true, is_running = true;
	uint64_t now = 0, line_free = 0, begun = real_ns();
	while (!is_over && is_running && (until_ns == 0 || now < until_ns)) {
		if (is_input_open) is_input_open = obey(b, &c, now);
		hear(b, &c, now, &line_free);
		now += STEP_NS;
		is_running = board_run(b, now);
		speak(b, &c, now);
		if (speed > 0) wait_until(begun + (uint64_t)((double)now / speed));
	}
	unplug(&c);
	return is_running ? 0 : 1;
}
