#include "events.h"
#include "board.h"

#define QUEUE 8u

static struct event queue[QUEUE];
static volatile uint8_t head, tail;

void events_add(uint8_t code, uint16_t arg, uint32_t t_us)
{
    uint8_t next = (uint8_t)((head + 1u) % QUEUE);
    if (next == tail) return;
    queue[head] = (struct event){code, arg, t_us};
    head = next;
}

bool events_take(struct event *e)
{
    bool any = false;
    board_hold_interrupts();
    if (tail != head) {
        *e = queue[tail];
        tail = (uint8_t)((tail + 1u) % QUEUE);
        any = true;
    }
    board_release_interrupts();
    return any;
}
