// Reads what happens to a box from text. Called by main.c and, for lines typed in, by pty.c.
#include "script.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define HOST_BYTE_NS (10e9 / 115200.0)
#define READER_BYTE_NS (10e9 / 9600.0)

static void say(board *b, uint64_t ns, board_kind kind, const char *text, double byte_ns)
{
	size_t length = strlen(text);
	for (size_t i = 0; i <= length; i++) {
		uint8_t byte = i < length ? (uint8_t)text[i] : '\n';
		board_at(b, ns + (uint64_t)((double)i * byte_ns), kind, byte);
	}
}

static bool is_level(const char *value)
{
	return strcmp(value, "0") == 0 || strcmp(value, "1") == 0;
}

script_said script_line(board *b, const char *line, uint64_t from_ns, uint64_t *at_ns)
{
	char text[256], what[16] = "", value[200] = "";
	snprintf(text, sizeof text, "%s", line);
	text[strcspn(text, "#\r\n")] = '\0';
	char *rest = text + strspn(text, " \t");
	if (!*rest) return SCRIPT_DONE;
	bool is_after = *rest == '+';
	char *end;
	double us = strtod(rest + is_after, &end);
	if (end == rest + is_after || us < 0 || sscanf(end, " %15s %199[^\n]", what, value) < 1) {
		fprintf(stderr, "boxsim: TIME WHAT [VALUE] is meant, not: %s\n", line);
		return SCRIPT_WRONG;
	}
	uint64_t ns = (is_after ? from_ns : 0) + (uint64_t)(us * 1000 + 0.5);
	*at_ns = ns;
	if (strcmp(what, "beam") == 0 && is_level(value)) board_at(b, ns, BOARD_BEAM, *value == '1');
	else if (strcmp(what, "button") == 0 && is_level(value)) board_at(b, ns, BOARD_BUTTON, *value == '1');
	else if (strcmp(what, "reader") == 0 && *value) say(b, ns, BOARD_READER, value, READER_BYTE_NS);
	else if (strcmp(what, "send") == 0 && *value) say(b, ns, BOARD_UART, value, HOST_BYTE_NS);
	else if (strcmp(what, "reset") == 0) board_at(b, ns, BOARD_RESET, 0);
	else if (strcmp(what, "plug") == 0) return SCRIPT_PLUG;
	else if (strcmp(what, "unplug") == 0) return SCRIPT_UNPLUG;
	else {
		fprintf(stderr, "boxsim: nothing that can happen: %s\n", line);
		return SCRIPT_WRONG;
	}
	return SCRIPT_DONE;
}

bool script_file(board *b, const char *path)
{
	FILE *f = fopen(path, "r");
	if (!f) {
		fprintf(stderr, "boxsim: %s: %s\n", path, strerror(errno));
		return false;
	}
	char line[256];
	uint64_t at_ns = 0;
	bool is_good = true;
	while (is_good && fgets(line, sizeof line, f)) {
		script_said said = script_line(b, line, at_ns, &at_ns);
		if (said == SCRIPT_PLUG || said == SCRIPT_UNPLUG)
			fprintf(stderr, "boxsim: %s: plug and unplug are said at standard input\n", path);
		is_good = said == SCRIPT_DONE;
	}
	fclose(f);
	return is_good;
}
