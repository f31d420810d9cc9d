/* Events between where they happen (often an interrupt) and the main loop that sends them. */
#ifndef OW_EVENTS_H
#define OW_EVENTS_H

#include <stdbool.h>
#include <stdint.h>

struct event {
    uint8_t code; /* OW_EVENT_... */
    uint16_t arg;
    uint32_t t_us;
};

/* Adds an event; with interrupts held. The oldest stay when the queue is full. */
void events_add(uint8_t code, uint16_t arg, uint32_t t_us);
bool events_take(struct event *e);

#endif
