// boxsim: the program of a timing box, run in simavr on a simulated board.
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "modes.h"
#include "script.h"

static const char usage[] =
	"boxsim --elf FILE [--eeprom FILE] [--ppm X] [--battery MV] [--script FILE] and one of\n"
	"  --for SECONDS      flat out, the lines that the box sends on standard output\n"
	"  --pty LINK         a pseudo-terminal that LINK leads to; [--speed X] (1 real time, 0 flat out),\n"
	"                     [--for SECONDS]; lines of a script at standard input, + from now\n"
	"  --lockstep         in step with the program at standard input (lockstep.c)\n"
	"A script is lines of TIME WHAT [VALUE], times in microseconds (script.h).\n";

int run_alone(board *b, uint64_t until_ns)
{
	bool is_new_line = true, is_running = true;
	for (uint64_t now = 0; is_running && now < until_ns;) {
		now += 10000000;
		is_running = board_run(b, now < until_ns ? now : until_ns);
		size_t count;
		const board_sent *out = board_out(b, &count);
		for (size_t i = 0; i < count; i++) {
			if (is_new_line) printf("%14.3f ", (double)out[i].ns / 1000);
			putchar(out[i].byte);
			is_new_line = out[i].byte == '\n';
		}
		board_forget(b, count);
	}
	return is_running ? 0 : 1;
}

static double amount(const char *option, const char *text)
{
	char *end;
	double value = strtod(text, &end);
	if (*text && !*end) return value;
	fprintf(stderr, "boxsim: %s needs a number, not %s\n", option, text);
	exit(2);
}

int main(int argc, char **argv)
{
	board_options options = { .battery_mv = 3800 };
	const char *script = NULL, *link = NULL;
	double speed = 1, seconds = 0;
	bool is_lockstep = false;
	for (int i = 1; i < argc; i++) {
		const char *option = argv[i];
		if (strcmp(option, "--lockstep") == 0) {
			is_lockstep = true;
			continue;
		}
		if (i + 1 == argc || strcmp(option, "--help") == 0) {
			fputs(usage, stderr);
			return 2;
		}
		const char *value = argv[++i];
		if (strcmp(option, "--elf") == 0) options.elf = value;
		else if (strcmp(option, "--eeprom") == 0) options.eeprom = value;
		else if (strcmp(option, "--ppm") == 0) options.ppm = amount(option, value);
		else if (strcmp(option, "--battery") == 0) options.battery_mv = (unsigned)amount(option, value);
		else if (strcmp(option, "--script") == 0) script = value;
		else if (strcmp(option, "--pty") == 0) link = value;
		else if (strcmp(option, "--speed") == 0) speed = amount(option, value);
		else if (strcmp(option, "--for") == 0) seconds = amount(option, value);
		else {
			fprintf(stderr, "boxsim: no option %s\n%s", option, usage);
			return 2;
		}
	}
	if (!options.elf || (!is_lockstep && !link && seconds <= 0)) {
		fputs(usage, stderr);
		return 2;
	}
	board *b = board_new(&options);
	if (!b) return 1;
	int code = 1;
	uint64_t until_ns = (uint64_t)(seconds * 1e9);
	if (!script || script_file(b, script)) {
		if (is_lockstep) code = run_lockstep(b);
		else code = link ? run_pty(b, link, speed, until_ns) : run_alone(b, until_ns);
	}
	if (!board_keep_eeprom(b)) code = 1;
	board_free(b);
	return code;
}
