// Runs the tests of the core on this computer.
#include <stdio.h>
#include <string.h>

#include "check.h"

static int checks;
static int failures;

void check_that(bool is_so, const char *text, const char *file, int line) {
  checks++;
  if (is_so) return;
  failures++;
  printf("%s:%d: not so: %s\n", file, line, text);
}

void check_text(const char *is, const char *should, const char *file, int line) {
  checks++;
  if (strcmp(is, should) == 0) return;
  failures++;
  printf("%s:%d: is\n  %s\nshould be\n  %s\n", file, line, is, should);
}

void check_number(long long is, long long should, const char *file, int line) {
  checks++;
  if (is == should) return;
  failures++;
  printf("%s:%d: is %lld, should be %lld\n", file, line, is, should);
}

int main(void) {
  test_stamp();
  test_pass();
  test_ring();
  test_line();
  test_tag();
  test_settings();
  test_box();
  test_relay();
  test_noise();
  printf("firmware: %d checks, %d failed\n", checks, failures);
  return failures == 0 ? 0 : 1;
}
