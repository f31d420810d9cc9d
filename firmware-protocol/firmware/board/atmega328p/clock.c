/* Timer 1: free-running 4 us ticks, extended to 32 bits of microseconds; compare B opens the bridge. */
#include <avr/interrupt.h>
#include <avr/io.h>
#include <util/atomic.h>
#include "../../core/board.h"
#include "../../core/probe.h"
#include "modules.h"

#define TICK_US 4u
#define TICKS_PER_MS 250uL

static volatile uint16_t overflows;
static volatile uint8_t rounds; /* compare matches still to pass before the bridge opens */

void clock_begin(void)
{
    TCCR1A = 0;
    TCCR1B = _BV(CS11) | _BV(CS10); /* /64 */
    TIMSK1 = _BV(TOIE1);
}

ISR(TIMER1_OVF_vect)
{
    overflows++;
}

uint32_t board_now_us(void)
{
    uint16_t low, high;
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE)
    {
        low = TCNT1;
        high = overflows;
        if ((TIFR1 & _BV(TOV1)) && low < 0x8000u) high++; /* overflowed, and its interrupt has yet to run */
    }
    return (((uint32_t)high << 16) | low) * TICK_US;
}

/* Called with interrupts held. */
void board_arm_bridge_timer(uint16_t ms)
{
    uint32_t ticks = ms * TICKS_PER_MS; /* never within 34 ticks of a whole round for up to 2000 ms: no match is missed */
    OCR1B = (uint16_t)(TCNT1 + (uint16_t)ticks);
    rounds = (uint8_t)(ticks >> 16);
    TIFR1 = _BV(OCF1B);
    TIMSK1 |= _BV(OCIE1B);
}

void board_disarm_bridge_timer(void)
{
    TIMSK1 &= (uint8_t)~_BV(OCIE1B);
}

ISR(TIMER1_COMPB_vect)
{
    if (rounds-- != 0) return;
    PORTD &= (uint8_t)~_BV(PIN_BRIDGE); /* first of all, whatever the core thinks */
    TIMSK1 &= (uint8_t)~_BV(OCIE1B);
    probe_on_bridge_timer();
    WORK_REGISTER |= _BV(WORK_BIT);
}
