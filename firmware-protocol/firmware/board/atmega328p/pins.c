/* Front-end outputs, and the INT0 counter of openings shorter than a reading. */
#include <avr/interrupt.h>
#include <avr/io.h>
#include <util/atomic.h>
#include "../../core/board.h"
#include "modules.h"

#define PORTB_OUT (_BV(PIN_SOURCE_0) | _BV(PIN_SOURCE_1) | _BV(PIN_GAIN200) | _BV(PIN_DRY) | _BV(PIN_EXCITATION) | _BV(PIN_LED))
#define PORTD_OUT (_BV(PIN_BRIDGE) | _BV(PIN_INPUT_0) | _BV(PIN_INPUT_1) | _BV(PIN_TONE))
#define PORTD_SET (_BV(PIN_BRIDGE) | _BV(PIN_INPUT_0) | _BV(PIN_INPUT_1))

static volatile uint16_t edges;

void pins_begin(void)
{
    PORTB = 0;
    DDRB = PORTB_OUT;
    PORTC = _BV(PIN_SEAT_A) | _BV(PIN_SEAT_B); /* pull-ups: not seated where nothing is fitted */
    DDRC = _BV(PIN_SEAT_STROBE);
    PORTD = _BV(PIN_BUTTON);
    DDRD = PORTD_OUT;
    DIDR0 = 0x07;                 /* no digital input on ADC0..2 */
    EICRA = _BV(ISC01) | _BV(ISC00); /* rising edge; unmasked once and for all, as it is latched in hardware */
    EIMSK = _BV(INT0);
}

/* What switches off goes first, so that excitation and bridge never overlap, not even for one instruction. */
void board_set_outputs(const struct outputs *o)
{
    uint8_t b = (uint8_t)(o->source & 3u);
    if (o->gain200) b |= _BV(PIN_GAIN200);
    if (o->dry) b |= _BV(PIN_DRY);
    if (o->excitation) b |= _BV(PIN_EXCITATION);
    if (o->excitation || o->bridge) b |= _BV(PIN_LED);
    uint8_t d = 0;
    if (o->bridge) d |= _BV(PIN_BRIDGE);
    if (o->input & 1u) d |= _BV(PIN_INPUT_0);
    if (o->input & 2u) d |= _BV(PIN_INPUT_1);
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE)
    {
        if (!o->excitation) PORTB &= (uint8_t)~_BV(PIN_EXCITATION);
        PORTD = (uint8_t)((PORTD & (uint8_t)~PORTD_SET) | d);
        PORTB = b;
    }
}

ISR(INT0_vect)
{
    if (PORTB & _BV(PIN_EXCITATION)) edges++;
}

uint16_t board_tip_edges(void)
{
    uint16_t n;
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) { n = edges; }
    return n;
}
