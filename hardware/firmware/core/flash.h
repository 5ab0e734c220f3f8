// Texts and tables that need not lie in memory, of which the chip has 2 kB.
#ifndef FLASH_H
#define FLASH_H

#ifdef __AVR__
#define IN_FLASH __flash
#else
#define IN_FLASH
#endif

#endif
