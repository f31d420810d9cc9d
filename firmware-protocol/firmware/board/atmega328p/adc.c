/* The converter, free running. A written channel acts on the conversion after the one that is running when it is written. */
#include <avr/interrupt.h>
#include <avr/io.h>
#include "../../core/average.h"
#include "../../core/board.h"
#include "../../core/probe.h"
#include "modules.h"

#define REFERENCE _BV(REFS0) /* AVcc: the source is made from it too, so that a supply change cancels */

static struct average average;
static volatile uint8_t main_channel = ADC_TIPS;

void adc_begin(void)
{
    ADMUX = REFERENCE | ADC_TIPS;
    ADCSRB = 0; /* auto trigger source: free running */
}

void board_set_channel(enum channel c)
{
    main_channel = c == CHANNEL_SENSE ? ADC_SENSE : ADC_TIPS;
}

void board_set_rate(uint8_t rate)
{
    static const uint8_t prescalers[] = {
        _BV(ADPS2) | _BV(ADPS1) | _BV(ADPS0), /* precise: 128 */
        _BV(ADPS2) | _BV(ADPS1),              /* standard: 64 */
        _BV(ADPS2) | _BV(ADPS0),              /* fast: 32 */
    };
    ADCSRA = 0;
    PORTC &= (uint8_t)~_BV(PIN_SEAT_STROBE);
    ADMUX = (uint8_t)(REFERENCE | main_channel);
    average_begin(&average);
    ADCSRA = (uint8_t)(_BV(ADEN) | _BV(ADATE) | _BV(ADIE) | prescalers[rate]);
    ADCSRA |= _BV(ADSC);
}

ISR(ADC_vect)
{
    uint16_t conversion = ADC;
    uint8_t slot = average.slot;
    if (slot == AVERAGE_TIP_SLOT - 2u) {
        ADMUX = REFERENCE | ADC_TIPS; /* for the 17th */
    } else if (slot == AVERAGE_TIP_SLOT - 1u) {
        ADMUX = (uint8_t)(REFERENCE | main_channel); /* for the first of the next reading */
        PORTC |= _BV(PIN_SEAT_STROBE); /* the 17th runs now and has sampled by the time the strobe settles */
    }
    if (!average_add(&average, conversion)) return;
    uint8_t seats = PINC; /* low while strobed: both pins of the tip touch one conductor */
    PORTC &= (uint8_t)~_BV(PIN_SEAT_STROBE);
    uint16_t sum = average.sum;
    bool over = average.over;
    average_begin(&average);
    probe_on_reading(sum, over, conversion, !(seats & _BV(PIN_SEAT_A)), !(seats & _BV(PIN_SEAT_B)));
    WORK_REGISTER |= _BV(WORK_BIT);
}
