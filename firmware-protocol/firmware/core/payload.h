/* A message under construction, and the fields of a received one: little-endian, packed. */
#ifndef OW_PAYLOAD_H
#define OW_PAYLOAD_H

#include <stdint.h>
#include "protocol_table.h"

struct payload {
    uint8_t bytes[OW_FRAME_MAX_PAYLOAD_BYTES - 2u]; /* the CRC is added on the way out */
    uint8_t count;
};

void payload_begin(struct payload *p, uint8_t type, uint8_t seq);
void payload_u8(struct payload *p, uint8_t v);
void payload_u16(struct payload *p, uint16_t v);
void payload_u32(struct payload *p, uint32_t v);

uint16_t field_u16(const uint8_t *at);
uint32_t field_u32(const uint8_t *at);

#endif
