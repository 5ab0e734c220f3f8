// The ATmega328P's own start and background work; called by main only.
#ifndef CHIP_H
#define CHIP_H

// Clock, pins, battery; opens interrupts.
void chip_start(void);

// Between two turns of the box: battery, lamp.
void chip_turn(void);

// Sleeps until the next interrupt, 0.4 ms at most: saves the battery, and what comes in wakes it.
void chip_rest(void);

#endif
