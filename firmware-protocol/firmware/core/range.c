#include "range.h"
#include "protocol_table.h"

/* Below this, above the zero, the range after next is still low enough: about 4.9 kohm on range 4, 80 ohm on 3, 0.6 ohm on 2. */
static const uint8_t jump_code[OW_RANGE_COUNT] = {0, 0, 8, 32, 64};

uint8_t range_lowest(uint8_t level)
{
    return level == OW_LEVEL_DRY ? 1 : 0;
}

bool range_offered(uint8_t range, uint8_t level)
{
    return range >= range_lowest(level) && range <= RANGE_TOP;
}

void range_select(uint8_t range, uint8_t level, struct outputs *o)
{
    o->source = range == 0 ? 0 : (uint8_t)(range - 1u); /* ranges 0 and 1 share the 10 ohm resistor */
    o->dry = level == OW_LEVEL_DRY;
    o->gain200 = range == 0 || o->dry;
}

uint8_t range_next(uint8_t range, uint8_t level, uint16_t code, uint8_t *up_count)
{
    if (code > RANGE_UP_CODE) {
        if (range == RANGE_TOP) return range;
        if (++*up_count < 2) return range;
        *up_count = 0;
        return (uint8_t)(range + 1u);
    }
    *up_count = 0;
    uint8_t lowest = range_lowest(level);
    if (code >= RANGE_DOWN_CODE || range == lowest) return range;
    if (range > lowest + 1u && code < RANGE_ZERO_CODE + jump_code[range]) return (uint8_t)(range - 2u);
    return (uint8_t)(range - 1u);
}

uint8_t range_blank(uint8_t range, uint16_t period_us)
{
    if (range != RANGE_TOP) return 1;
    uint8_t readings = 0; /* counted, as a division takes too long in the converter's interrupt */
    for (uint16_t t_us = 0; t_us < OW_TIMEOUT_MS_RANGE_BLANK * 1000u; t_us = (uint16_t)(t_us + period_us)) readings++;
    return readings;
}
