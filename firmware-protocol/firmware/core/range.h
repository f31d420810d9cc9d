/* Which source resistor and gain a range uses, and when to leave it for the next. */
#ifndef OW_RANGE_H
#define OW_RANGE_H

#include <stdbool.h>
#include <stdint.h>
#include "board.h"

#define RANGE_TOP 4u

/* Nominal sum of a shorted input: the live zero. */
#define RANGE_ZERO_CODE ((uint16_t)((uint32_t)OW_LIVE_ZERO_MV * OW_CONVERTER_CODES * OW_SUM_OF / OW_REFERENCE_MV))
/* Above the zero by 0.91 of the open level (745 of 819 converter codes), and by 0.07 of it (60 of 819). */
#define RANGE_UP_CODE ((uint16_t)(RANGE_ZERO_CODE + 745u * OW_SUM_OF))
#define RANGE_DOWN_CODE ((uint16_t)(RANGE_ZERO_CODE + 60u * OW_SUM_OF))

/* The lowest range that a level offers. */
uint8_t range_lowest(uint8_t level);
bool range_offered(uint8_t range, uint8_t level);

/* Sets source, gain and level of `o`. */
void range_select(uint8_t range, uint8_t level, struct outputs *o);

/* Returns the range for the next reading. `up_count` is the caller's memory of readings above the upper mark: it goes up on the
   second in a row, down at once, and down by two where the reading is far below what the next range could hold. */
uint8_t range_next(uint8_t range, uint8_t level, uint16_t code, uint8_t *up_count);

/* Readings to drop after a change to `range` at the end of a reading, at this reading period. */
uint8_t range_blank(uint8_t range, uint16_t period_us);

#endif
