/* A tone that ends by itself. */
#ifndef OW_TONE_H
#define OW_TONE_H

#include <stdint.h>

void tone_start(uint16_t frequency_hz, uint16_t duration_ms); /* 0 ms: silence */
void tone_poll(uint32_t now_us);

#endif
