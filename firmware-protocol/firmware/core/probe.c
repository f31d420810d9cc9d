#include "probe.h"
#include "board.h"
#include "button.h"
#include "events.h"
#include "notice.h"
#include "range.h"
#include "readings.h"
#include "requests.h"
#include "store.h"
#include "tone.h"

static struct interlock il;
static struct probe_counters counters;
static uint16_t light;                  /* latest conversion */
static uint16_t light_told;
static uint32_t light_told_us;
static volatile uint8_t blank; /* readings still to be dropped after a change */
static uint8_t up_count;
static uint32_t boot_count;
static struct button button;
static bool silence_told;

/* --- with interrupts held ------------------------------------------------------------------------------------------- */

static void blank_at_least(uint8_t readings)
{
    if (blank < readings) blank = readings;
}

static void apply(void)
{
    struct outputs o;
    interlock_outputs(&il, &o);
    board_set_outputs(&o);
    board_set_channel(o.excitation ? CHANNEL_SENSE : CHANNEL_TIPS);
}

/* Sets the hardware to what the interlock has decided. `arg`: bridge time in ms. */
static void carry_out(struct interlock_result r, uint16_t arg)
{
    if (r.happened == 0) return;
    apply();
    if (r.happened & HAPPENED_BRIDGE_OPENED) board_disarm_bridge_timer();
    if (r.happened & HAPPENED_BRIDGE_CLOSED) {
        board_arm_bridge_timer(arg);
        counters.bridge_closes++;
    }
    if ((r.happened & HAPPENED_LIVE_ON) && (r.happened & HAPPENED_EXCITATION_OFF)) counters.live_trips++;
    if (r.happened & ~(HAPPENED_LIVE_ON | HAPPENED_LIVE_OFF)) blank_at_least(1);
}

/* Tells it. `arg` goes with liveOn and liveOff (tip code) or bridgeClosed (ms). */
static void tell(struct interlock_result r, uint16_t arg, uint32_t now)
{
    if (r.happened & HAPPENED_BRIDGE_OPENED) events_add(OW_EVENT_BRIDGE_OPENED, r.reason, now);
    if (r.happened & HAPPENED_BRIDGE_CLOSED) events_add(OW_EVENT_BRIDGE_CLOSED, arg, now);
    if (r.happened & HAPPENED_EXCITATION_OFF) events_add(OW_EVENT_EXCITATION_OFF, r.reason, now);
    if (r.happened & HAPPENED_LIVE_ON) events_add(OW_EVENT_LIVE_ON, arg, now);
    if (r.happened & HAPPENED_LIVE_OFF) events_add(OW_EVENT_LIVE_OFF, arg, now);
}

/* The same from the main loop. Interrupts are held anew, as in one stretch the converter could miss its moment to change channels. */
static void tell_held(struct interlock_result r, uint16_t arg, uint32_t now)
{
    if (r.happened == 0) return;
    board_hold_interrupts();
    tell(r, arg, now);
    board_release_interrupts();
}

static uint16_t state_flags(void)
{
    uint16_t f = il.input; /* the two low bits */
    if (interlock_excitation(&il)) f |= OW_FLAG_EXCITATION | (il.level == OW_LEVEL_DRY ? OW_FLAG_DRY : 0u) | (il.range_auto ? OW_FLAG_AUTO : 0u);
    else f |= OW_FLAG_VOLTAGE;
    if (il.bridge) f |= OW_FLAG_BRIDGE;
    return f;
}

void probe_on_reading(uint16_t sum, bool over, uint16_t tip, bool seat_a, bool seat_b)
{
    uint32_t now = board_now_us();
    bool blanked = blank > 0;
    if (blanked) blank--;
    uint16_t flags = state_flags();
    uint8_t range = interlock_excitation(&il) ? il.range : 0;
    struct interlock_result r = interlock_reading(&il, sum, tip, blanked);
    if (r.happened) {
        carry_out(r, 0);
        tell(r, il.tip_code, now);
        if (r.happened & HAPPENED_EXCITATION_OFF) flags &= (uint16_t)~OW_FLAG_EXCITATION;
    }
    if (blanked) {
        readings_gap();
        return;
    }
    if (over) flags |= OW_FLAG_OVER;
    if (il.live) flags |= OW_FLAG_LIVE;
    if (seat_a) flags |= OW_FLAG_SEAT_A;
    if (seat_b) flags |= OW_FLAG_SEAT_B;
    readings_push(sum, flags, range, now);
    if (!interlock_excitation(&il) || !il.range_auto) return;
    uint8_t next = range_next(il.range, il.level, sum, &up_count);
    if (next == il.range) return;
    il.range = next;
    apply();
    blank_at_least(range_blank(next, readings_period_us()));
}

void probe_on_light(uint16_t conversion)
{
    uint32_t now = board_now_us();
    light = conversion;
    if (!readings_streaming() || interlock_distance(conversion, light_told) < OW_LIGHT_STEP_CODES) return;
    if (now - light_told_us < OW_TIMEOUT_MS_LIGHT_PAUSE * 1000uL) return;
    light_told = conversion;
    light_told_us = now;
    events_add(OW_EVENT_LIGHT_CHANGED, conversion, now);
}

void probe_on_bridge_timer(void)
{
    struct interlock_result r = interlock_bridge_time_up(&il);
    carry_out(r, 0);
    tell(r, 0, board_now_us());
}

/* --- main loop ------------------------------------------------------------------------------------------------------ */

void probe_begin(void)
{
    interlock_begin(&il);
    apply();
    board_set_rate(OW_RATE_STANDARD);
    blank = 2;
}

void probe_hello(void)
{
    boot_count = store_count_boot();
    struct payload *p = notice_begin(OW_NOTE_BOOT);
    payload_u8(p, OW_PROTO_MAJOR);
    payload_u8(p, OW_PROTO_MINOR);
    payload_u8(p, board_reset_cause());
    payload_u32(p, boot_count);
    notice_send();
}

uint8_t probe_set_mode(uint8_t mode, uint8_t level, uint8_t range, uint8_t input)
{
    uint16_t period_us = readings_period_us();
    board_hold_interrupts();
    uint8_t old_mode = il.mode;
    struct interlock_result r = interlock_set_mode(&il, mode, level, range, input);
    if (r.status == OW_STATUS_OK) {
        apply();
        carry_out(r, 0);
        bool still = mode != OW_MODE_RESISTANCE && old_mode != OW_MODE_RESISTANCE;
        /* the running reading is part old; the one after may still begin on the old channel */
        if (!still) blank_at_least((uint8_t)(1u + range_blank(il.range, period_us)));
        up_count = 0;
    }
    board_release_interrupts();
    tell_held(r, 0, board_now_us());
    return r.status;
}

uint8_t probe_set_bridge(uint16_t duration_ms)
{
    board_hold_interrupts();
    struct interlock_result r = interlock_set_bridge(&il, duration_ms);
    carry_out(r, duration_ms);
    board_release_interrupts();
    tell_held(r, duration_ms, board_now_us());
    return r.status;
}

void probe_look_again(void)
{
    board_hold_interrupts();
    interlock_look_again(&il);
    board_release_interrupts();
}

bool probe_must_wait(void)
{
    board_hold_interrupts();
    bool wait = interlock_must_wait(&il);
    board_release_interrupts();
    return wait;
}

uint8_t probe_range(void)
{
    return il.range;
}

void probe_start(uint8_t rate, uint8_t batch)
{
    readings_flush();
    readings_start(rate, batch);
    board_hold_interrupts();
    board_set_rate(rate);
    blank_at_least(2);
    light_told = 0; /* so that a sensor that is fitted tells its level anew */
    board_release_interrupts();
}

bool probe_has_light_sensor(void)
{
    board_hold_interrupts();
    bool fitted = light >= OW_LIGHT_FITTED_CODE;
    board_release_interrupts();
    return fitted;
}

uint32_t probe_boot_count(void)
{
    return boot_count;
}

struct probe_counters probe_counters(void)
{
    board_hold_interrupts();
    struct probe_counters c = counters;
    board_release_interrupts();
    return c;
}

static void watch_button(uint32_t now)
{
    uint16_t held_ms = 0;
    enum button_change change = button_step(&button, board_button_down(), now, &held_ms);
    if (change == BUTTON_SAME) return;
    board_hold_interrupts();
    events_add(change == BUTTON_DOWN ? OW_EVENT_BUTTON_DOWN : OW_EVENT_BUTTON_UP, held_ms, now);
    board_release_interrupts();
}

static void watch_silence(uint32_t now)
{
    uint32_t age_us = now - requests_last_us();
    if (age_us < OW_TIMEOUT_MS_BRIDGE_HEARTBEAT * 1000uL) {
        silence_told = false;
        return;
    }
    uint32_t age_ms = age_us / 1000u;
    board_hold_interrupts();
    bool excited = interlock_excitation(&il);
    struct interlock_result r = interlock_silence(&il, age_ms);
    carry_out(r, 0);
    board_release_interrupts();
    tell_held(r, 0, now);
    bool too_long = age_us >= OW_TIMEOUT_MS_HEARTBEAT * 1000uL && !silence_told;
    if (!too_long) return;
    if (excited || readings_streaming()) {
        board_hold_interrupts();
        events_add(OW_EVENT_HEARTBEAT_LOST, 0, now);
        board_release_interrupts();
    }
    silence_told = true;
    readings_stop();
}

void probe_loop(void)
{
    readings_poll();
    requests_poll();
    uint32_t now = board_now_us();
    watch_silence(now);
    watch_button(now);
    tone_poll(now);
    uint16_t losses = readings_take_new_losses();
    if (losses) {
        board_hold_interrupts();
        events_add(OW_EVENT_READINGS_LOST, losses, now);
        board_release_interrupts();
    }
    events_send();
}
