#include "events.h"
#include <stdbool.h>
#include "board.h"
#include "notice.h"
#include "readings.h"

#define QUEUE 8u

struct event {
    uint8_t code;
    uint16_t arg;
    uint32_t t_us;
};

static struct event queue[QUEUE];
static volatile uint8_t head, tail;

void events_add(uint8_t code, uint16_t arg, uint32_t t_us)
{
    uint8_t next = (uint8_t)((head + 1u) % QUEUE);
    if (next == tail) return;
    queue[head] = (struct event){code, arg, t_us};
    head = next;
}

static bool take(struct event *e)
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

void events_send(void)
{
    struct event e;
    while (take(&e)) {
        readings_flush(); /* what was read before an event goes before it */
        struct payload *p = notice_begin(OW_NOTE_EVENT);
        payload_u8(p, e.code);
        payload_u32(p, e.t_us);
        payload_u16(p, e.arg);
        notice_send();
    }
}
