/* Timer 0 toggles OC0A: a square wave without interrupts. */
#include <avr/io.h>
#include "../../core/board.h"
#include "modules.h"

struct divider {
    uint16_t by;
    uint8_t bits;
};

void board_tone(uint16_t frequency_hz)
{
    static const struct divider dividers[] = {{64, _BV(CS01) | _BV(CS00)}, {256, _BV(CS02)}, {1024, _BV(CS02) | _BV(CS00)}};
    TCCR0B = 0;
    TCCR0A = 0; /* the pin falls back to the port: low */
    if (frequency_hz == 0) return;
    for (uint8_t i = 0; i < sizeof dividers / sizeof dividers[0]; i++) {
        uint16_t top = (uint16_t)(F_CPU / (2uL * dividers[i].by * frequency_hz)); /* OCR0A + 1, half a period */
        if (top > 256u) continue;
        OCR0A = (uint8_t)(top - 1u);
        TCNT0 = 0;
        TCCR0A = _BV(COM0A0) | _BV(WGM01); /* CTC, toggle on match */
        TCCR0B = dividers[i].bits;
        return;
    }
}
