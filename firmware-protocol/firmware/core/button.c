#include "button.h"
#include "protocol_table.h"

enum button_change button_step(struct button *b, bool down, uint32_t now_us, uint16_t *held_ms)
{
    if (down != b->raw) {
        b->raw = down;
        b->since_us = now_us;
    }
    if (b->raw == b->down || now_us - b->since_us < OW_TIMEOUT_MS_BUTTON_DEBOUNCE * 1000u) return BUTTON_SAME;
    b->down = b->raw;
    if (b->down) {
        b->down_us = b->since_us;
        return BUTTON_DOWN;
    }
    uint32_t ms = (b->since_us - b->down_us) / 1000u;
    *held_ms = ms > 0xFFFFu ? 0xFFFFu : (uint16_t)ms;
    return BUTTON_UP;
}
