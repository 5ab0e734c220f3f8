// A line of the host with its ':' and check, to be sent from a terminal program: `make line TEXT=...`.
#include <stdio.h>

#include "crc.h"

int main(int count, char **arguments) {
  if (count != 2 || arguments[1][0] == 0) {
    fputs("say which line: make line TEXT=1W,S1,F1,F\n", stderr);
    return 2;
  }
  uint16_t crc = CRC_START;
  for (const char *c = arguments[1]; *c != 0; c++) crc = crc_add(crc, (uint8_t)*c);
  printf(":%s*%04X\n", arguments[1], (unsigned)crc);
  return 0;
}
