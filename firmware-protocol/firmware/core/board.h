/* What the portable core needs of a microcontroller. One folder under board/ implements all of it. */
#ifndef OW_BOARD_H
#define OW_BOARD_H

#include <stdbool.h>
#include <stdint.h>

/* The state of every output of the front end. Excitation and bridge are never both set (interlock.c). */
struct outputs {
    uint8_t source;   /* 0: 10 ohm, 1: 1 kohm, 2: 33 kohm, 3: 1 Mohm */
    uint8_t input;    /* OW_INPUT_... */
    bool gain200;     /* else gain 20 */
    bool dry;         /* 20 mV, else 200 mV */
    bool excitation;
    bool bridge;
};

/* Converter channel that the 16 summed conversions of a reading are taken on; the 17th is the tip voltage with CHANNEL_SENSE, and the light
   sensor with CHANNEL_TIPS. */
enum channel { CHANNEL_SENSE, CHANNEL_TIPS };

/* Interrupts that reach the core are held off between these two. They do not nest. */
void board_hold_interrupts(void);
void board_release_interrupts(void);

uint32_t board_now_us(void);                      /* since reset; wraps at 2^32; callable anywhere */

void board_set_outputs(const struct outputs *o);  /* at once; callable anywhere */
void board_set_channel(enum channel c);           /* from the next reading on, or the one after; callable anywhere */
void board_set_rate(uint8_t rate);                /* OW_RATE_... */

/* Opens the bridge `ms` from now by a timer interrupt that needs nothing of the main loop, then calls probe_on_bridge_timer(). */
void board_arm_bridge_timer(uint16_t ms);
void board_disarm_bridge_timer(void);

bool board_uart_get(uint8_t *byte);               /* false: nothing received */
void board_uart_put(uint8_t byte);                /* waits for room */
uint16_t board_uart_overruns(void);               /* received bytes lost since reset */

uint16_t board_tip_edges(void);                   /* rising edges of the open comparator with the excitation on */
bool board_button_down(void);
void board_tone(uint16_t frequency_hz);           /* 0: silent */

bool board_store_ready(void);                     /* false: the non-volatile memory is busy with the last byte */
uint8_t board_store_read(uint16_t at);
void board_store_write(uint16_t at, uint8_t byte);/* starts the write and returns */

uint8_t board_reset_cause(void);                  /* OW_RESET_CAUSE_... bits */
uint16_t board_watchdog_resets(void);             /* since power-on */
void board_still_alive(void);                     /* restarts the watchdog */

#endif
