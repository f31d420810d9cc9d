/* What the probe keeps without power: serial number, boot count, calibration area. */
#ifndef OW_STORE_H
#define OW_STORE_H

#include <stdbool.h>
#include <stdint.h>

#define STORE_SERIAL_AT 0u
#define STORE_BOOT_AT 4u         /* two copies of count u32 and its CRC, written in turn */
#define STORE_CALIBRATION_AT 64u
#define STORE_SERIAL_UNSET 0xFFFFFFFFuL

uint32_t store_serial(void);

/* Counts this boot and returns the count, from 1. Waits for the memory; called once, before anything is on. */
uint32_t store_count_boot(void);

enum store_progress { STORE_BUSY, STORE_DONE, STORE_FAILED };

/* Writes `count` bytes at `at`, one byte a call at most, and verifies them; call until it isn't STORE_BUSY. */
enum store_progress store_write_step(uint16_t at, const uint8_t *bytes, uint8_t count);

#endif
