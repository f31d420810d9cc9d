#include "slip.h"
#include "board.h"
#include "crc16.h"
#include "protocol_table.h"

static enum slip_result end_of_frame(struct slip_in *in)
{
    uint8_t n = in->count;
    bool spoilt = in->spoilt, escaped = in->escaped;
    in->spoilt = false;
    in->escaped = false;
    in->count = 0;
    if (spoilt) return (enum slip_result)in->why;
    if (escaped) return SLIP_BAD_ESCAPE;
    if (n == 0) return SLIP_MORE;
    if (n < 4) return SLIP_RUNT; /* type, seq and the CRC are the least */
    uint16_t crc = CRC16_INIT;
    for (uint8_t i = 0; i < n; i++) crc = crc16_add(crc, in->bytes[i]);
    if (crc != 0) return SLIP_BAD_CRC; /* a CRC over data and its own CRC, high byte first, is 0 */
    in->count = n;
    return SLIP_FRAME;
}

static void spoil(struct slip_in *in, enum slip_result why)
{
    in->spoilt = true;
    in->why = (uint8_t)why;
}

enum slip_result slip_take(struct slip_in *in, uint8_t byte)
{
    if (byte == OW_FRAME_END) return end_of_frame(in);
    if (in->spoilt) return SLIP_MORE;
    if (in->escaped) {
        in->escaped = false;
        if (byte == OW_FRAME_ESC_END) byte = OW_FRAME_END;
        else if (byte == OW_FRAME_ESC_ESC) byte = OW_FRAME_ESC;
        else {
            spoil(in, SLIP_BAD_ESCAPE);
            return SLIP_MORE;
        }
    } else if (byte == OW_FRAME_ESC) {
        in->escaped = true;
        return SLIP_MORE;
    }
    if (in->count == in->size) spoil(in, SLIP_OVERSIZE);
    else in->bytes[in->count++] = byte;
    return SLIP_MORE;
}

static void send_escaped(uint8_t byte)
{
    if (byte == OW_FRAME_END) {
        board_uart_put(OW_FRAME_ESC);
        byte = OW_FRAME_ESC_END;
    } else if (byte == OW_FRAME_ESC) {
        board_uart_put(OW_FRAME_ESC);
        byte = OW_FRAME_ESC_ESC;
    }
    board_uart_put(byte);
}

void slip_send(const uint8_t *bytes, uint8_t count)
{
    uint16_t crc = CRC16_INIT;
    board_uart_put(OW_FRAME_END); /* ends whatever noise the line had before */
    for (uint8_t i = 0; i < count; i++) {
        crc = crc16_add(crc, bytes[i]);
        send_escaped(bytes[i]);
    }
    send_escaped((uint8_t)(crc >> 8));
    send_escaped((uint8_t)crc);
    board_uart_put(OW_FRAME_END);
}
