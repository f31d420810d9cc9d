/* The converter, free running. A written channel acts on the conversion after the one that is running when it is written. */
#include <avr/interrupt.h>
#include <avr/io.h>
#include "../../core/average.h"
#include "../../core/board.h"
#include "../../core/probe.h"
#include "../../core/readings.h"
#include "modules.h"

#define REFERENCE _BV(REFS0) /* AVcc: the source is made from it too, so that a supply change cancels */

static struct average average;
static volatile uint8_t main_channel = ADC_TIPS;
static bool seventeenth_is_light;
static uint8_t skip; /* conversions to pass over after a missed change of channel */

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
    skip = 0;
    ADCSRA = (uint8_t)(_BV(ADEN) | _BV(ADATE) | _BV(ADIE) | prescalers[rate]);
    ADCSRA |= _BV(ADSC);
}

/* Apart from the interrupt, so that the other 16 conversions of a reading don't save registers for it. */
static void __attribute__((noinline)) end_of_reading(uint16_t tip)
{
    uint8_t seats = PINC; /* low while strobed: both pins of the tip touch one conductor */
    PORTC &= (uint8_t)~_BV(PIN_SEAT_STROBE);
    uint16_t sum = average.sum;
    bool over = average.over;
    average_begin(&average);
    if (seventeenth_is_light) {
        probe_on_light(tip);
        tip = OW_CONVERTER_CODES / 2u; /* excitation that has begun since is guarded from the next reading on */
    }
    probe_on_reading(sum, over, tip, !(seats & _BV(PIN_SEAT_A)), !(seats & _BV(PIN_SEAT_B)));
    WORK_REGISTER |= _BV(WORK_BIT);
}

/* The channel was written after the next conversion had begun (at the fast rate, with other interrupts in the way): what follows is of the
   wrong channel, and a sense code must never be judged as a tip voltage. The reading is dropped. */
static void __attribute__((noinline)) begin_anew(void)
{
    PORTC &= (uint8_t)~_BV(PIN_SEAT_STROBE);
    ADMUX = (uint8_t)(REFERENCE | main_channel);
    average_begin(&average);
    skip = 3; /* the one that has ended, the running one, and one to be sure */
    readings_gap();
}

ISR(ADC_vect)
{
    uint16_t conversion = ADC;
    if (skip > 0) {
        skip--;
        return;
    }
    uint8_t slot = average.slot;
    if (slot >= AVERAGE_TIP_SLOT - 2u && slot < AVERAGE_TIP_SLOT) {
        if (slot == AVERAGE_TIP_SLOT - 2u) {
            /* for the 17th: where the sum is of the tip voltage already, it can look at the light sensor */
            seventeenth_is_light = main_channel == ADC_TIPS;
            ADMUX = seventeenth_is_light ? REFERENCE | ADC_LIGHT : REFERENCE | ADC_TIPS;
        } else {
            ADMUX = (uint8_t)(REFERENCE | main_channel); /* for the first of the next reading */
            PORTC |= _BV(PIN_SEAT_STROBE); /* the 17th runs now and has sampled by the time the strobe settles */
        }
        if (ADCSRA & _BV(ADIF)) { /* the running one has ended meanwhile: too late */
            begin_anew();
            return;
        }
    }
    if (average_add(&average, conversion)) end_of_reading(conversion);
}
