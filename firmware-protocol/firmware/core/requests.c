#include "requests.h"
#include "board.h"
#include "payload.h"
#include "probe.h"
#include "readings.h"
#include "slip.h"
#include "store.h"
#include "tone.h"

#define CAPABILITIES (OW_CAP_DRY_LEVEL | OW_CAP_BRIDGE | OW_CAP_SEAT_SENSE | OW_CAP_TONE | OW_CAP_EDGE_COUNTER | OW_CAP_CHECK_RESISTOR)
#define LATER 0xFFu /* no status of the wire: the request stays, and is tried again in the next pass */

static uint8_t frame[OW_FRAME_MAX_REQUEST_BYTES];
static struct slip_in in = {.bytes = frame, .size = sizeof frame};
static struct payload answer;
static bool waiting;    /* the frame holds a request that could not be decided yet */
static bool answered;   /* `answer` answers the request of last_... */
static uint8_t last_type, last_seq;
static uint16_t last_crc;
static uint32_t last_us;
static uint16_t bad_frames, crc_errors, refusals;

uint32_t requests_last_us(void)
{
    return last_us;
}

static uint8_t hello(const uint8_t *body)
{
    if (body[0] != OW_PROTO_MAJOR) return OW_STATUS_WRONG_VERSION;
    payload_u8(&answer, OW_PROTO_MAJOR);
    payload_u8(&answer, OW_PROTO_MINOR);
    payload_u8(&answer, FIRMWARE_MAJOR);
    payload_u8(&answer, FIRMWARE_MINOR);
    payload_u32(&answer, FIRMWARE_BUILD);
    payload_u32(&answer, store_serial());
    payload_u32(&answer, CAPABILITIES | (probe_has_light_sensor() ? OW_CAP_LIGHT_SENSOR : 0u));
    payload_u8(&answer, board_reset_cause());
    payload_u32(&answer, probe_boot_count());
    payload_u32(&answer, board_now_us());
    payload_u8(&answer, OW_FRAME_MAX_PAYLOAD_BYTES);
    return OW_STATUS_OK;
}

static uint8_t start(const uint8_t *body)
{
    if (body[0] > OW_RATE_FAST || body[1] == 0 || body[1] > OW_BATCH_MAX) return OW_STATUS_BAD_VALUE;
    probe_start(body[0], body[1]);
    payload_u16(&answer, readings_period_us());
    return OW_STATUS_OK;
}

/* True: the tips have yet to be looked at for this request. */
static bool must_look(void)
{
    if (!waiting) probe_look_again();
    return probe_must_wait();
}

static uint8_t mode(const uint8_t *body)
{
    if (body[0] == OW_MODE_RESISTANCE && must_look()) return LATER;
    uint8_t status = probe_set_mode(body[0], body[1], body[2], body[3]);
    payload_u8(&answer, probe_range());
    return status;
}

static uint8_t bridge(const uint8_t *body)
{
    uint16_t duration_ms = field_u16(body);
    if (duration_ms > 0 && must_look()) return LATER;
    return probe_set_bridge(duration_ms);
}

static uint8_t tone(const uint8_t *body)
{
    uint16_t frequency_hz = field_u16(body), duration_ms = field_u16(body + 2);
    if (duration_ms > OW_TONE_MAX_MS) return OW_STATUS_BAD_VALUE;
    if (duration_ms > 0 && (frequency_hz < OW_TONE_MIN_HZ || frequency_hz > OW_TONE_MAX_HZ)) return OW_STATUS_BAD_VALUE;
    tone_start(frequency_hz, duration_ms);
    return OW_STATUS_OK;
}

static bool in_calibration(uint16_t offset, uint8_t count)
{
    return count > 0 && count <= OW_DATA_MAX_BYTES && offset < OW_CALIBRATION_BYTES && count <= OW_CALIBRATION_BYTES - offset;
}

static uint8_t calibration_read(const uint8_t *body)
{
    uint16_t offset = field_u16(body);
    if (!in_calibration(offset, body[2])) return OW_STATUS_BAD_VALUE;
    payload_u16(&answer, offset);
    for (uint8_t i = 0; i < body[2]; i++) payload_u8(&answer, board_store_read((uint16_t)(STORE_CALIBRATION_AT + offset + i)));
    return OW_STATUS_OK;
}

static uint8_t stored(uint16_t at, const uint8_t *bytes, uint8_t count)
{
    switch (store_write_step(at, bytes, count)) {
    case STORE_BUSY: return LATER;
    case STORE_DONE: return OW_STATUS_OK;
    default: return OW_STATUS_WRITE_FAILED;
    }
}

static uint8_t calibration_write(const uint8_t *body, uint8_t length)
{
    uint16_t offset = field_u16(body);
    uint8_t count = (uint8_t)(length - 2u);
    if (!in_calibration(offset, count)) return OW_STATUS_BAD_VALUE;
    payload_u16(&answer, offset);
    payload_u8(&answer, count);
    return stored((uint16_t)(STORE_CALIBRATION_AT + offset), body + 2, count);
}

static uint8_t set_serial(const uint8_t *body)
{
    static bool under_way; /* after the first byte the number no longer reads as unset */
    uint32_t serial = field_u32(body);
    if (serial == STORE_SERIAL_UNSET) return OW_STATUS_BAD_VALUE;
    if (!under_way && store_serial() != STORE_SERIAL_UNSET) return OW_STATUS_NOT_ALLOWED;
    uint8_t status = stored(STORE_SERIAL_AT, body, 4);
    under_way = status == LATER;
    return status;
}

static uint8_t count_all(void)
{
    struct probe_counters c = probe_counters();
    payload_u16(&answer, readings_lost());
    payload_u16(&answer, board_uart_overruns());
    payload_u16(&answer, bad_frames);
    payload_u16(&answer, crc_errors);
    payload_u16(&answer, refusals);
    payload_u16(&answer, board_watchdog_resets());
    payload_u16(&answer, board_tip_edges());
    payload_u16(&answer, c.bridge_closes);
    payload_u16(&answer, c.live_trips);
    return OW_STATUS_OK;
}

static uint8_t echo(const uint8_t *body, uint8_t length)
{
    if (length > OW_DATA_MAX_BYTES) return OW_STATUS_BAD_LENGTH;
    for (uint8_t i = 0; i < length; i++) payload_u8(&answer, body[i]);
    return OW_STATUS_OK;
}

/* Length of the fixed fields of a request, and whether bytes follow them; 0xFF: no such request. */
static uint8_t fixed_length(uint8_t type, bool *open_ended)
{
    *open_ended = false;
    switch (type) {
    case OW_REQ_HELLO: case OW_REQ_START: case OW_REQ_BRIDGE: return 2;
    case OW_REQ_STOP: case OW_REQ_KEEP_ALIVE: case OW_REQ_COUNTERS: return 0;
    case OW_REQ_MODE: case OW_REQ_TONE: case OW_REQ_SET_SERIAL: return 4;
    case OW_REQ_CAL_READ: return 3;
    case OW_REQ_CAL_WRITE: *open_ended = true; return 2;
    case OW_REQ_ECHO: *open_ended = true; return 0;
    default: return 0xFF;
    }
}

static uint8_t decide(uint8_t type, const uint8_t *body, uint8_t length)
{
    bool open_ended;
    uint8_t fixed = fixed_length(type, &open_ended);
    if (fixed == 0xFF) return OW_STATUS_UNKNOWN_TYPE;
    if (length < fixed || (length > fixed && !open_ended)) return OW_STATUS_BAD_LENGTH;
    switch (type) {
    case OW_REQ_HELLO: return hello(body);
    case OW_REQ_START: return start(body);
    case OW_REQ_STOP: readings_stop(); return OW_STATUS_OK;
    case OW_REQ_MODE: return mode(body);
    case OW_REQ_BRIDGE: return bridge(body);
    case OW_REQ_KEEP_ALIVE: payload_u32(&answer, board_now_us()); return OW_STATUS_OK;
    case OW_REQ_TONE: return tone(body);
    case OW_REQ_CAL_READ: return calibration_read(body);
    case OW_REQ_CAL_WRITE: return calibration_write(body, length);
    case OW_REQ_COUNTERS: return count_all();
    case OW_REQ_ECHO: return echo(body, length);
    default: return set_serial(body);
    }
}

static void handle(void)
{
    uint8_t type = frame[0], seq = frame[1], length = (uint8_t)(in.count - 4u);
    payload_begin(&answer, (uint8_t)(type | OW_ANSWER_BIT), seq);
    payload_u8(&answer, OW_STATUS_OK);
    uint8_t status = decide(type, frame + 2, length);
    waiting = status == LATER;
    if (waiting) return;
    if (status != OW_STATUS_OK) {
        refusals++;
        answer.count = 3; /* a refusal has no fields */
        answer.bytes[2] = status;
    }
    answered = true;
    readings_flush(); /* readings from before the answer go before it */
    slip_send(answer.bytes, answer.count);
}

static void take_frame(void)
{
    if (frame[0] & OW_ANSWER_BIT) { /* an answer is never a request: the line is looped back, or another probe talks */
        bad_frames++;
        in.count = 0;
        return;
    }
    last_us = board_now_us();
    uint16_t crc = (uint16_t)((uint16_t)frame[in.count - 2u] << 8 | frame[in.count - 1u]);
    bool again = answered && frame[0] != OW_REQ_HELLO && frame[0] == last_type && frame[1] == last_seq && crc == last_crc;
    if (again) {
        slip_send(answer.bytes, answer.count);
    } else {
        last_type = frame[0];
        last_seq = frame[1];
        last_crc = crc;
        answered = false;
        handle();
    }
    if (!waiting) in.count = 0;
}

void requests_poll(void)
{
    uint8_t byte;
    if (waiting) {
        handle();
        if (waiting) return;
        in.count = 0;
    }
    while (board_uart_get(&byte)) {
        switch (slip_take(&in, byte)) {
        case SLIP_MORE: break;
        case SLIP_FRAME: take_frame(); break;
        case SLIP_BAD_CRC: crc_errors++; break;
        default: bad_frames++; break;
        }
        if (waiting) return;
    }
}
