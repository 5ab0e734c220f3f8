// The chip's main program.
#include <avr/wdt.h>

#include "box.h"
#include "chip.h"

// A loop that hangs for 2 s restarts the box: a new boot number says so.
int main(void) {
  chip_start();
  box_start();
  wdt_enable(WDTO_2S);
  for (;;) {
    wdt_reset();
    box_turn();
    chip_turn();
    chip_rest();
  }
}
