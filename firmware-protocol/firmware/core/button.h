/* Debouncing of the probe's button, on the probe's clock. */
#ifndef OW_BUTTON_H
#define OW_BUTTON_H

#include <stdbool.h>
#include <stdint.h>

struct button {
    bool down;          /* the debounced level */
    bool raw;           /* the level seen last */
    uint32_t since_us;  /* of `raw` */
    uint32_t down_us;   /* of the press */
};

enum button_change { BUTTON_SAME, BUTTON_DOWN, BUTTON_UP };

/* Takes the level now; `*held_ms` is set with BUTTON_UP. */
enum button_change button_step(struct button *b, bool down, uint32_t now_us, uint16_t *held_ms);

#endif
