#include "store.h"
#include "board.h"
#include "crc16.h"
#include "payload.h"

#define COPY_BYTES 6u

static uint8_t position; /* in the write under way */

static void read_bytes(uint16_t at, uint8_t *to, uint8_t count)
{
    for (uint8_t i = 0; i < count; i++) to[i] = board_store_read((uint16_t)(at + i));
}

uint32_t store_serial(void)
{
    uint8_t bytes[4];
    read_bytes(STORE_SERIAL_AT, bytes, sizeof bytes);
    return field_u32(bytes);
}

static uint16_t crc_of_count(const uint8_t *copy)
{
    uint16_t crc = CRC16_INIT;
    for (uint8_t i = 0; i < 4; i++) crc = crc16_add(crc, copy[i]);
    return crc;
}

/* Returns the count in a copy, 0 when it is blank or torn. */
static uint32_t count_in(uint8_t which)
{
    uint8_t copy[COPY_BYTES];
    read_bytes((uint16_t)(STORE_BOOT_AT + which * COPY_BYTES), copy, sizeof copy);
    return field_u16(copy + 4) == crc_of_count(copy) ? field_u32(copy) : 0;
}

uint32_t store_count_boot(void)
{
    uint32_t a = count_in(0), b = count_in(1);
    uint32_t count = (a > b ? a : b) + 1u;
    uint8_t which = a > b ? 1 : 0; /* the older copy: power lost now loses at most this boot */
    uint8_t copy[COPY_BYTES];
    for (uint8_t i = 0; i < 4; i++) copy[i] = (uint8_t)(count >> (8u * i));
    uint16_t crc = crc_of_count(copy);
    copy[4] = (uint8_t)crc;
    copy[5] = (uint8_t)(crc >> 8);
    while (store_write_step((uint16_t)(STORE_BOOT_AT + which * COPY_BYTES), copy, COPY_BYTES) == STORE_BUSY)
        board_still_alive();
    return count;
}

enum store_progress store_write_step(uint16_t at, const uint8_t *bytes, uint8_t count)
{
    if (!board_store_ready()) return STORE_BUSY;
    while (position < count) {
        uint16_t here = (uint16_t)(at + position);
        uint8_t byte = bytes[position++];
        if (board_store_read(here) == byte) continue; /* each write wears the cell */
        board_store_write(here, byte);
        return STORE_BUSY;
    }
    position = 0;
    for (uint8_t i = 0; i < count; i++)
        if (board_store_read((uint16_t)(at + i)) != bytes[i]) return STORE_FAILED;
    return STORE_DONE;
}
