#include "tone.h"
#include "board.h"

static uint32_t from_us, for_us; /* for_us 0: silent */

void tone_start(uint16_t frequency_hz, uint16_t duration_ms)
{
    from_us = board_now_us();
    for_us = duration_ms * 1000uL;
    board_tone(duration_ms == 0 ? 0 : frequency_hz);
}

void tone_poll(uint32_t now_us)
{
    if (for_us == 0 || now_us - from_us < for_us) return;
    for_us = 0;
    board_tone(0);
}
