// What the tests share: checks, and their lists.
#ifndef CHECK_H
#define CHECK_H

#include <stdbool.h>

// Fails the run, says where, goes on.
#define CHECK(is_so) check_that((is_so), #is_so, __FILE__, __LINE__)
#define CHECK_TEXT(is, should) check_text((is), (should), __FILE__, __LINE__)
#define CHECK_NUMBER(is, should) check_number((long long)(is), (long long)(should), __FILE__, __LINE__)

void check_that(bool is_so, const char *text, const char *file, int line);
void check_text(const char *is, const char *should, const char *file, int line);
void check_number(long long is, long long should, const char *file, int line);

void test_stamp(void);
void test_pass(void);
void test_ring(void);
void test_line(void);
void test_tag(void);
void test_settings(void);
void test_box(void);
void test_relay(void);
void test_noise(void);

#endif
