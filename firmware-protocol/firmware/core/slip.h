/* SLIP framing (RFC 1055), receiving side with a bound, and a CRC over each frame. */
#ifndef OW_SLIP_H
#define OW_SLIP_H

#include <stdbool.h>
#include <stdint.h>

/* Decoder over a buffer of the caller. `bytes` and `size` are set once; the rest starts zeroed. */
struct slip_in {
    uint8_t *bytes;
    uint8_t size;
    uint8_t count;
    bool escaped;
    bool spoilt;
    uint8_t why; /* enum slip_result to give at the END of a spoilt frame */
};

enum slip_result {
    SLIP_MORE,       /* nothing yet; an empty frame (END END) is nothing too */
    SLIP_FRAME,      /* a whole frame with a right CRC: bytes[0 .. count-3] are type, seq and body */
    SLIP_BAD_ESCAPE, /* the rest: one spoilt frame, dropped; END has resynchronised */
    SLIP_OVERSIZE,
    SLIP_RUNT,
    SLIP_BAD_CRC
};

/* Takes one received byte. After SLIP_FRAME the bytes stay until the next call. */
enum slip_result slip_take(struct slip_in *in, uint8_t byte);

/* Sends END, the bytes escaped, their CRC (high byte first, escaped), END. */
void slip_send(const uint8_t *bytes, uint8_t count);

#endif
