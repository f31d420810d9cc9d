/* USART 0 at the table's baud rate, 8N1, double buffered by rings. */
#include <avr/interrupt.h>
#include <avr/io.h>
#include <util/atomic.h>
#include "../../core/board.h"
#include "../../core/protocol_table.h"
#include "modules.h"

#define UBRR_VALUE ((F_CPU + 4uL * OW_BAUD) / (8uL * OW_BAUD) - 1uL)
_Static_assert(F_CPU == (UBRR_VALUE + 1uL) * 8uL * OW_BAUD, "the baud rate must divide exactly: 2 % off garbles long frames");

#define TX_RING 256u /* an 8-bit index wraps by itself */
#define RX_RING 64u

static volatile uint8_t tx[TX_RING], rx[RX_RING];
static volatile uint8_t tx_head, tx_tail, rx_head, rx_tail;
static volatile uint16_t overruns;

void uart_begin(void)
{
    UBRR0 = UBRR_VALUE;
    UCSR0A = _BV(U2X0); /* once, before the transmitter is on */
    UCSR0C = _BV(UCSZ01) | _BV(UCSZ00);
    UCSR0B = _BV(RXEN0) | _BV(TXEN0) | _BV(RXCIE0);
}

ISR(USART_UDRE_vect)
{
    uint8_t t = tx_tail;
    UDR0 = tx[t];
    tx_tail = ++t;
    if (t == tx_head) UCSR0B &= (uint8_t)~_BV(UDRIE0); /* with the last byte, so that this never runs on an empty ring */
}

ISR(USART_RX_vect)
{
    uint8_t status = UCSR0A, byte = UDR0, h = rx_head, next = (uint8_t)((h + 1u) % RX_RING);
    if (status & (_BV(DOR0) | _BV(FE0))) overruns++;
    if (next != rx_tail) {
        rx[h] = byte;
        rx_head = next;
    } else {
        overruns++;
    }
    WORK_REGISTER |= _BV(WORK_BIT);
}

void board_uart_put(uint8_t byte)
{
    uint8_t h = tx_head, next = (uint8_t)(h + 1u);
    while (next == tx_tail) { } /* room comes at the line's speed; should it never come, the watchdog does */
    tx[h] = byte;
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE)
    {
        tx_head = next;
        UCSR0B |= _BV(UDRIE0);
    }
}

bool board_uart_get(uint8_t *byte)
{
    uint8_t t = rx_tail;
    if (t == rx_head) return false;
    *byte = rx[t];
    rx_tail = (uint8_t)((t + 1u) % RX_RING);
    return true;
}

uint16_t board_uart_overruns(void)
{
    uint16_t n;
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) { n = overruns; }
    return n;
}
