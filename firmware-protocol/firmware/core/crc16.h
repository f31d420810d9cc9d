/* CRC-16/IBM-3740: poly 0x1021, init 0xFFFF, not reflected, no final xor; check value 0x29B1 for "123456789". */
#ifndef OW_CRC16_H
#define OW_CRC16_H

#include <stdint.h>

#define CRC16_INIT 0xFFFFu

uint16_t crc16_add(uint16_t crc, uint8_t byte);

#endif
