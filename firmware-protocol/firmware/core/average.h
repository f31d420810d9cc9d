/* One reading out of 17 conversions: 16 summed on the measuring channel, the 17th on the tip voltage or the light sensor. */
#ifndef OW_AVERAGE_H
#define OW_AVERAGE_H

#include <stdbool.h>
#include <stdint.h>
#include "protocol_table.h"

#define AVERAGE_TIP_SLOT OW_SUM_OF /* slots 0 .. 15 are summed */

struct average {
    uint8_t slot;  /* of the conversion to come */
    uint16_t sum;  /* 0 .. 16368 */
    bool over;     /* a summed conversion was at the converter's end */
    uint16_t tip;  /* 0 .. 1023, valid when average_add() has returned true */
};

/* Begins a reading. */
static inline void average_begin(struct average *a)
{
    a->slot = 0;
    a->sum = 0;
    a->over = false;
}

/* Takes one conversion (0 .. 1023). True: the reading is whole; call average_begin() before the next. */
static inline bool average_add(struct average *a, uint16_t conversion)
{
    if (a->slot == AVERAGE_TIP_SLOT) {
        a->tip = conversion;
        return true;
    }
    a->slot++;
    a->sum = (uint16_t)(a->sum + conversion);
    if (conversion == 0 || conversion == OW_CONVERTER_CODES - 1u) a->over = true;
    return false;
}

#endif
