/* The probe's button: to ground, against the pull-up set in pins.c. */
#include <avr/io.h>
#include "../../core/board.h"
#include "modules.h"

bool board_button_down(void)
{
    return !(PIND & _BV(PIN_BUTTON));
}
