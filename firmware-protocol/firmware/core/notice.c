#include "notice.h"
#include "slip.h"

static struct payload notice;
static uint8_t seq;

struct payload *notice_begin(uint8_t type)
{
    payload_begin(&notice, type, seq++);
    return &notice;
}

struct payload *notice_open(void)
{
    return &notice;
}

void notice_send(void)
{
    slip_send(notice.bytes, notice.count);
}
