#include "payload.h"

void payload_begin(struct payload *p, uint8_t type, uint8_t seq)
{
    p->bytes[0] = type;
    p->bytes[1] = seq;
    p->count = 2;
}

void payload_u8(struct payload *p, uint8_t v)
{
    if (p->count < sizeof p->bytes) p->bytes[p->count++] = v;
}

void payload_u16(struct payload *p, uint16_t v)
{
    payload_u8(p, (uint8_t)v);
    payload_u8(p, (uint8_t)(v >> 8));
}

void payload_u32(struct payload *p, uint32_t v)
{
    payload_u16(p, (uint16_t)v);
    payload_u16(p, (uint16_t)(v >> 16));
}

uint16_t field_u16(const uint8_t *at)
{
    return (uint16_t)(at[0] | (uint16_t)((uint16_t)at[1] << 8));
}

uint32_t field_u32(const uint8_t *at)
{
    return field_u16(at) | ((uint32_t)field_u16(at + 2) << 16);
}
