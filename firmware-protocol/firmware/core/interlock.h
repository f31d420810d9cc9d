/* The interlocks, as a state machine that touches no hardware: every request, reading, time-out goes in, states and happenings come out.
   Excitation is on exactly in resistance mode, the bridge is closed only in voltage mode: they cannot be on together. */
#ifndef OW_INTERLOCK_H
#define OW_INTERLOCK_H

#include <stdbool.h>
#include <stdint.h>
#include "board.h"
#include "protocol_table.h"

/* Tip voltage codes, on the scale of a reading (sum of 16): 0 V and per volt. */
#define TIP_ZERO_CODE (OW_VOLTAGE_MID_MV * 16384L / OW_REFERENCE_MV)
#define TIP_CODES(mv) ((int16_t)(((mv) * 16384L / OW_REFERENCE_MV + OW_VOLTAGE_DIVIDER / 2) / (int32_t)OW_VOLTAGE_DIVIDER))

struct interlock {
    uint8_t mode;         /* OW_MODE_... */
    uint8_t level;        /* OW_LEVEL_... */
    uint8_t input;        /* OW_INPUT_... */
    uint8_t range;        /* 0 .. 4 */
    bool range_auto;
    bool bridge;
    bool live;
    uint8_t looks;        /* readings to come before tip_code may decide a request; 0: it may */
    uint16_t tip_code;    /* tip voltage, sum-of-16 scale */
    uint16_t tip_last;    /* last single tip conversion */
    uint16_t tip_filter;  /* 16 times the running mean of tip conversions while excitation is on */
};

/* Happenings: bits of what a call returned. */
enum {
    HAPPENED_EXCITATION_OFF = 1,
    HAPPENED_LIVE_ON = 2,
    HAPPENED_LIVE_OFF = 4,
    HAPPENED_BRIDGE_OPENED = 8,
    HAPPENED_BRIDGE_CLOSED = 16
};

struct interlock_result {
    uint8_t status;       /* OW_STATUS_... (requests) */
    uint8_t happened;     /* HAPPENED_... bits */
    uint8_t reason;       /* of bridge opened or excitation off */
};

/* State after a reset: everything off, tip voltage unknown. */
void interlock_begin(struct interlock *il);

/* Returns how far two codes are apart. */
uint16_t interlock_distance(uint16_t a, uint16_t b);

bool interlock_excitation(const struct interlock *il);

/* A request that depends on the tip voltage has come: it is decided on a reading that begins after now. */
void interlock_look_again(struct interlock *il);

/* True: a request that depends on the tip voltage must wait. Never with the excitation on: then each reading guards itself. */
bool interlock_must_wait(const struct interlock *il);

/* Requests. A refused one changes nothing. `range` may be OW_RANGE_AUTO_AUTO. */
struct interlock_result interlock_set_mode(struct interlock *il, uint8_t mode, uint8_t level, uint8_t range, uint8_t input);
struct interlock_result interlock_set_bridge(struct interlock *il, uint16_t duration_ms);

/* A reading: sum of 16 on the measuring channel and the tip conversion. `blanked`: the sum is from across a change, only the tip counts. */
struct interlock_result interlock_reading(struct interlock *il, uint16_t sum, uint16_t tip, bool blanked);

/* The bridge's time is up. */
struct interlock_result interlock_bridge_time_up(struct interlock *il);

/* No valid request for `age_ms`. */
struct interlock_result interlock_silence(struct interlock *il, uint32_t age_ms);

/* What the front end must be set to. */
void interlock_outputs(const struct interlock *il, struct outputs *o);

#endif
