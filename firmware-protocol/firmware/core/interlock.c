#include "interlock.h"
#include "range.h"

static const struct interlock_result nothing = {OW_STATUS_OK, 0, 0};

static struct interlock_result refused(uint8_t status)
{
    struct interlock_result r = {status, 0, 0};
    return r;
}

uint16_t interlock_distance(uint16_t a, uint16_t b)
{
    return a > b ? (uint16_t)(a - b) : (uint16_t)(b - a);
}

static uint16_t tip_distance(uint16_t code)
{
    return interlock_distance(code, (uint16_t)TIP_ZERO_CODE);
}

void interlock_begin(struct interlock *il)
{
    il->mode = OW_MODE_OFF;
    il->level = OW_LEVEL_NORMAL;
    il->input = OW_INPUT_TIPS;
    il->range = RANGE_TOP;
    il->range_auto = true;
    il->bridge = false;
    il->live = false;
    il->looks = 1;
    il->tip_code = (uint16_t)TIP_ZERO_CODE;
    il->tip_filter = (uint16_t)TIP_ZERO_CODE;
    il->tip_last = OW_CONVERTER_CODES / 2u;
}

bool interlock_excitation(const struct interlock *il)
{
    return il->mode == OW_MODE_RESISTANCE;
}

void interlock_look_again(struct interlock *il)
{
    if (il->looks < 2) il->looks = 2; /* the running reading began before the request */
}

bool interlock_must_wait(const struct interlock *il)
{
    return !interlock_excitation(il) && il->looks > 0;
}

static void leave_excitation(struct interlock *il, uint8_t mode)
{
    il->mode = mode;
    il->input = OW_INPUT_TIPS;
    il->looks = 1;
}

static struct interlock_result open_bridge(struct interlock *il, uint8_t reason)
{
    struct interlock_result r = nothing;
    if (!il->bridge) return r;
    il->bridge = false;
    r.happened = HAPPENED_BRIDGE_OPENED;
    r.reason = reason;
    return r;
}

static struct interlock_result rest(struct interlock *il, uint8_t mode)
{
    struct interlock_result r = mode == OW_MODE_OFF ? open_bridge(il, OW_BRIDGE_OPEN_REASON_REQUEST) : nothing;
    if (interlock_excitation(il)) {
        leave_excitation(il, mode);
        r.happened |= HAPPENED_EXCITATION_OFF;
        r.reason = OW_EXCITATION_OFF_REASON_REQUEST;
    }
    il->mode = mode;
    return r;
}

struct interlock_result interlock_set_mode(struct interlock *il, uint8_t mode, uint8_t level, uint8_t range, uint8_t input)
{
    bool is_auto = range == OW_RANGE_AUTO_AUTO;
    if (mode > OW_MODE_VOLTAGE || level > OW_LEVEL_DRY || input > OW_INPUT_OPEN) return refused(OW_STATUS_BAD_VALUE);
    if (!is_auto && !range_offered(range, level)) return refused(OW_STATUS_BAD_VALUE);
    if (mode != OW_MODE_RESISTANCE) return rest(il, mode);

    if (il->bridge) return refused(OW_STATUS_BUSY);
    bool was_on = interlock_excitation(il);
    uint16_t tips = was_on ? il->tip_filter : il->tip_code;
    bool reaches_tips = !was_on || (input == OW_INPUT_TIPS && il->input != OW_INPUT_TIPS);
    if (!was_on && (il->looks > 0 || il->live)) return refused(OW_STATUS_LIVE);
    if (reaches_tips && tip_distance(tips) > TIP_CODES(OW_LIVE_BEFORE_MV)) return refused(OW_STATUS_LIVE);

    if (!was_on) {
        il->tip_filter = il->tip_code;
        il->tip_last = (uint16_t)(il->tip_code / OW_SUM_OF);
    }
    bool keep = is_auto && was_on && range_offered(il->range, level);
    if (!keep) il->range = is_auto ? RANGE_TOP : range;
    il->range_auto = is_auto;
    il->level = level;
    il->input = input;
    il->mode = OW_MODE_RESISTANCE;
    return nothing;
}

struct interlock_result interlock_set_bridge(struct interlock *il, uint16_t duration_ms)
{
    if (duration_ms == 0) return open_bridge(il, OW_BRIDGE_OPEN_REASON_REQUEST);
    if (duration_ms > OW_BRIDGE_MAX_MS) return refused(OW_STATUS_BAD_VALUE);
    if (il->mode != OW_MODE_VOLTAGE) return refused(OW_STATUS_WRONG_MODE);
    if (il->bridge) return refused(OW_STATUS_BUSY); /* else a host could hold it closed for ever */
    if (il->looks > 0 || tip_distance(il->tip_code) > TIP_CODES(OW_BRIDGE_MAX_MV)) return refused(OW_STATUS_OVER_VOLTAGE);
    il->bridge = true;
    struct interlock_result r = {OW_STATUS_OK, HAPPENED_BRIDGE_CLOSED, 0};
    return r;
}

/* One tip conversion at twice the limit trips. At the limit itself it takes the sum of two in a row, so that converter noise on top of
   the 0.2 V of our own source does not. The sense code is finer, but only the tips are behind it, and range 0 saturates on an open. */
static bool foreign_voltage(const struct interlock *il, uint16_t sum, uint16_t tip, bool blanked)
{
    const uint16_t limit = (uint16_t)TIP_CODES(OW_LIVE_DURING_MV) / (OW_SUM_OF / 2u); /* of two conversions, or twice that of one */
    if (interlock_distance(tip, OW_CONVERTER_CODES / 2u) > limit) return true;
    if (interlock_distance((uint16_t)(tip + il->tip_last), OW_CONVERTER_CODES) > limit) return true;
    if (blanked || il->input != OW_INPUT_TIPS) return false;
    return sum < OW_LIVE_LOW_CODE || (sum > OW_LIVE_HIGH_CODE && il->range != 0);
}

static struct interlock_result excited_reading(struct interlock *il, uint16_t sum, uint16_t tip, bool blanked)
{
    bool foreign = foreign_voltage(il, sum, tip, blanked);
    il->tip_last = tip;
    il->tip_filter = (uint16_t)(il->tip_filter - (il->tip_filter >> 4) + tip);
    if (!foreign) return nothing;
    leave_excitation(il, OW_MODE_VOLTAGE);
    il->tip_code = (uint16_t)(tip * OW_SUM_OF);
    il->live = true;
    struct interlock_result r = {OW_STATUS_OK, HAPPENED_EXCITATION_OFF | HAPPENED_LIVE_ON, OW_EXCITATION_OFF_REASON_LIVE};
    return r;
}

struct interlock_result interlock_reading(struct interlock *il, uint16_t sum, uint16_t tip, bool blanked)
{
    if (interlock_excitation(il)) return excited_reading(il, sum, tip, blanked);
    if (blanked) return nothing;
    il->tip_code = sum;
    if (il->looks > 0) il->looks--;
    uint16_t away = tip_distance(sum);
    struct interlock_result r = nothing;
    if (il->bridge && away > TIP_CODES(OW_BRIDGE_MAX_MV)) r = open_bridge(il, OW_BRIDGE_OPEN_REASON_OVER_VOLTAGE);
    if (!il->live && away > TIP_CODES(OW_LIVE_BEFORE_MV)) {
        il->live = true;
        r.happened |= HAPPENED_LIVE_ON;
    } else if (il->live && away < TIP_CODES(OW_LIVE_BEFORE_MV) * 2 / 3) { /* hysteresis: no chatter at the limit */
        il->live = false;
        r.happened |= HAPPENED_LIVE_OFF;
    }
    return r;
}

struct interlock_result interlock_bridge_time_up(struct interlock *il)
{
    return open_bridge(il, OW_BRIDGE_OPEN_REASON_TIME_UP);
}

struct interlock_result interlock_silence(struct interlock *il, uint32_t age_ms)
{
    struct interlock_result r = nothing;
    if (age_ms >= OW_TIMEOUT_MS_BRIDGE_HEARTBEAT) r = open_bridge(il, OW_BRIDGE_OPEN_REASON_HEARTBEAT);
    if (age_ms >= OW_TIMEOUT_MS_HEARTBEAT && interlock_excitation(il)) {
        leave_excitation(il, OW_MODE_OFF);
        r.happened |= HAPPENED_EXCITATION_OFF;
        r.reason = OW_EXCITATION_OFF_REASON_HEARTBEAT;
    }
    return r;
}

void interlock_outputs(const struct interlock *il, struct outputs *o)
{
    range_select(il->range, il->level, o);
    o->input = il->input;
    o->excitation = interlock_excitation(il);
    o->bridge = il->bridge && !o->excitation;
}
