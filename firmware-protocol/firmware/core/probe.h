/* The probe as a whole: the converter's interrupt, the bridge timer's interrupt and the main loop come in here. */
#ifndef OW_PROBE_H
#define OW_PROBE_H

#include <stdbool.h>
#include <stdint.h>
#include "interlock.h"

#define FIRMWARE_MAJOR 1u
#define FIRMWARE_MINOR 1u
#define FIRMWARE_BUILD 1uL

void probe_begin(void);  /* once, interrupts off: everything off, channel and rate set */
void probe_hello(void);  /* once, interrupts on: counts the boot, sends the boot notice */
void probe_loop(void);   /* one pass of the main loop; never waits except for room in the sender */

/* Interrupt side. */
void probe_on_reading(uint16_t sum, bool over, uint16_t tip, bool seat_a, bool seat_b);
void probe_on_light(uint16_t conversion); /* before the probe_on_reading() of its reading */
void probe_on_bridge_timer(void);

/* For the requests. All hold interrupts themselves. */
uint8_t probe_set_mode(uint8_t mode, uint8_t level, uint8_t range, uint8_t input); /* OW_STATUS_... */
uint8_t probe_set_bridge(uint16_t duration_ms);
void probe_look_again(void);
bool probe_must_wait(void);
uint8_t probe_range(void);
bool probe_has_light_sensor(void);
void probe_start(uint8_t rate, uint8_t batch);
uint32_t probe_boot_count(void);

struct probe_counters {
    uint16_t bridge_closes, live_trips;
};
struct probe_counters probe_counters(void);

#endif
