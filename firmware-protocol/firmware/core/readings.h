/* Readings from the converter's interrupt to notices: a ring, and batches whose readings share range and flags. */
#ifndef OW_READINGS_H
#define OW_READINGS_H

#include <stdbool.h>
#include <stdint.h>

/* Interrupt side. */
void readings_push(uint16_t code, uint16_t flags, uint8_t range, uint32_t t_us);
void readings_gap(void); /* a reading was dropped on purpose: the next one begins a batch of its own */

/* Main-loop side. */
void readings_start(uint8_t rate, uint8_t batch);
void readings_stop(void);
bool readings_streaming(void);
uint16_t readings_period_us(void);
void readings_poll(void);  /* moves readings to notices; sends those that are full or old */
void readings_flush(void); /* sends all there are */
uint16_t readings_lost(void); /* since reset */
uint16_t readings_take_new_losses(void); /* since asked last */

#endif
