/* Events between where they happen (often an interrupt) and the main loop that sends them. */
#ifndef OW_EVENTS_H
#define OW_EVENTS_H

#include <stdint.h>

/* Adds an event; with interrupts held. The oldest stay when the queue is full. */
void events_add(uint8_t code, uint16_t arg, uint32_t t_us);

/* Sends all there are, from the main loop. */
void events_send(void);

#endif
