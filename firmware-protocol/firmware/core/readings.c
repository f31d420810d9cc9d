#include "readings.h"
#include "board.h"
#include "notice.h"
#include "protocol_table.h"

#define RING 32u
#define AFTER_GAP 0x8000u /* above the flags of the wire */

struct reading {
    uint16_t code, flags, index;
    uint32_t t_us;
    uint8_t range;
};

static struct reading ring[RING];
static volatile uint8_t head, tail, lost_since_notice;
static volatile bool streaming, gap;
static volatile uint16_t next_index, lost_in_all, lost_new;

static uint16_t period_us = OW_RATE_PERIOD_US_STANDARD;
static uint8_t batch_size, batch_count;
static struct reading first; /* of the batch in the notice */

static uint8_t saturating_inc(uint8_t v)
{
    return v == 255 ? v : (uint8_t)(v + 1u);
}

void readings_push(uint16_t code, uint16_t flags, uint8_t range, uint32_t t_us)
{
    if (!streaming) return;
    uint16_t index = next_index++;
    uint8_t h = head, next = (uint8_t)((h + 1u) % RING);
    if (next == tail) {
        lost_since_notice = saturating_inc(lost_since_notice);
        lost_in_all++;
        lost_new++;
        gap = true;
        return;
    }
    struct reading *r = &ring[h];
    r->code = code;
    r->flags = gap ? (uint16_t)(flags | AFTER_GAP) : flags;
    r->index = index;
    r->t_us = t_us;
    r->range = range;
    gap = false;
    head = next;
}

void readings_gap(void)
{
    gap = true;
}

void readings_start(uint8_t rate, uint8_t batch)
{
    static const uint16_t periods[] = {OW_RATE_PERIOD_US_PRECISE, OW_RATE_PERIOD_US_STANDARD, OW_RATE_PERIOD_US_FAST};
    board_hold_interrupts();
    period_us = periods[rate];
    batch_size = batch;
    batch_count = 0;
    tail = head;
    next_index = 0;
    lost_since_notice = 0;
    gap = false;
    streaming = true;
    board_release_interrupts();
}

void readings_stop(void)
{
    streaming = false;
    readings_flush();
}

bool readings_streaming(void)
{
    return streaming;
}

uint16_t readings_period_us(void)
{
    return period_us;
}

static void send_batch(void)
{
    if (batch_count == 0) return;
    notice_send();
    batch_count = 0;
}

static void begin_batch(const struct reading *r)
{
    first = *r;
    board_hold_interrupts();
    uint8_t lost = lost_since_notice;
    lost_since_notice = 0;
    board_release_interrupts();
    struct payload *p = notice_begin(OW_NOTE_READINGS);
    payload_u16(p, r->index);
    payload_u32(p, r->t_us);
    payload_u16(p, period_us);
    payload_u8(p, r->range);
    payload_u16(p, (uint16_t)(r->flags & ~AFTER_GAP));
    payload_u8(p, lost);
    payload_u16(p, board_tip_edges());
}

static void take(const struct reading *r)
{
    uint16_t flags = (uint16_t)(r->flags & ~AFTER_GAP);
    bool alike = flags == (first.flags & ~AFTER_GAP) && r->range == first.range && !(r->flags & AFTER_GAP);
    if (batch_count > 0 && !alike) send_batch();
    if (batch_count == 0) begin_batch(r);
    payload_u16(notice_open(), r->code);
    if (++batch_count == batch_size) send_batch();
}

/* Only what is there now: at a rate and batch that fill the line, more would come for ever. */
static void drain(void)
{
    for (uint8_t n = (uint8_t)((uint8_t)(head - tail) % RING); n > 0; n--) {
        struct reading r = ring[tail];
        tail = (uint8_t)((tail + 1u) % RING);
        take(&r);
    }
}

void readings_poll(void)
{
    drain();
    if (batch_count > 0 && board_now_us() - first.t_us >= OW_TIMEOUT_MS_FLUSH * 1000u) send_batch();
}

void readings_flush(void)
{
    drain();
    send_batch();
}

uint16_t readings_lost(void)
{
    board_hold_interrupts();
    uint16_t n = lost_in_all;
    board_release_interrupts();
    return n;
}

uint16_t readings_take_new_losses(void)
{
    board_hold_interrupts();
    uint16_t n = lost_new;
    lost_new = 0;
    board_release_interrupts();
    return n;
}
