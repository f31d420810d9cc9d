/* The EEPROM, a byte at a time; a write takes 3.4 ms and is waited for by nobody. */
#include <avr/eeprom.h>
#include <util/atomic.h>
#include "../../core/board.h"

bool board_store_ready(void)
{
    return eeprom_is_ready();
}

uint8_t board_store_read(uint16_t at)
{
    return eeprom_read_byte((const uint8_t *)at);
}

void board_store_write(uint16_t at, uint8_t byte)
{
    eeprom_write_byte((uint8_t *)at, byte);
}
