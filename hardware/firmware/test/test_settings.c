// What outlives the power: also when it goes at any byte of a write.
#include <string.h>

#include "bench.h"
#include "check.h"
#include "settings.h"

static settings_t settings;

static bool store(void) {
  settings_store(&settings);
  for (int i = 0; i < 1000; i++) {
    if (settings_turn()) return true;
  }
  return false;
}

static void set(const char *id, uint8_t role, uint32_t rearm_us) {
  memset(settings.id, 0, sizeof settings.id);
  memcpy(settings.id, id, strlen(id));
  settings.role = role;
  settings.rearm_us = rearm_us;
}

static void expect(const char *id, uint8_t role, uint32_t rearm_us) {
  settings_load(&settings);
  CHECK_TEXT(settings.id, id);
  CHECK_NUMBER(settings.role, role);
  CHECK_NUMBER(settings.rearm_us, rearm_us);
}

static void torn(void) {
  for (int writes = 0; writes < 19; writes++) {
    bench_start();
    settings_load(&settings);
    set("F1", ROLE_FINISH, 700000);
    CHECK(store());
    bench_writes_left = writes;
    set("P2AB", 3, 600000);
    store();
    expect("F1", ROLE_FINISH, 700000);
    bench_writes_left = -1;
    set("P3", 4, 500000);
    CHECK(store());
    expect("P3", 4, 500000);
  }
}

// A boot number that was told is never given again, whenever the power goes.
static void boots(void) {
  bench_start();
  for (uint16_t boot = 1; boot < 200; boot++) CHECK_NUMBER(settings_next_boot(), boot);
  for (int writes = 0; writes < 4; writes++) {
    uint16_t before = settings_next_boot();
    bench_writes_left = writes;
    settings_next_boot();  // switched off before it could say so
    bench_writes_left = -1;
    uint16_t after = settings_next_boot();
    CHECK(after == before + 1 || after == before + 2);
  }
  // After 65535 comes 0.
  bench_start();
  uint16_t before = 0;
  for (long i = 0; i < 70000; i++) {
    uint16_t boot = settings_next_boot();
    CHECK_NUMBER(boot, (uint16_t)(before + 1));
    before = boot;
  }
}

void test_settings(void) {
  bench_start();
  expect("S1", ROLE_START, REARM_US_DEFAULT);
  CHECK_NUMBER(settings.block_us, BLOCK_US_DEFAULT);
  CHECK_NUMBER(settings.aux, AUX_READER);
  CHECK_NUMBER(settings.link, LINK_CABLE);
  CHECK(!settings_turn());
  // More often than the generation has numbers.
  for (uint32_t i = 0; i < 600; i++) {
    set(i % 2 == 0 ? "ZZZZ" : "F1", (uint8_t)(i % 11), 100000 + i);
    CHECK(store());
    expect(i % 2 == 0 ? "ZZZZ" : "F1", (uint8_t)(i % 11), 100000 + i);
  }
  // One damaged bit in either record: the other one, or the defaults; never nonsense.
  for (unsigned address = 16; address < 35; address++) {
    bench_start();
    settings_load(&settings);
    set("F1", ROLE_FINISH, 700000);
    CHECK(store());
    bench_eeprom[address] ^= 0x10;
    expect("S1", ROLE_START, REARM_US_DEFAULT);
  }
  torn();
  boots();
}
