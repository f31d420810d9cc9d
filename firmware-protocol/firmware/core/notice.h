/* The one notice under construction. Notices have a sequence of their own. */
#ifndef OW_NOTICE_H
#define OW_NOTICE_H

#include "payload.h"

struct payload *notice_begin(uint8_t type);
struct payload *notice_open(void); /* the one begun last */
void notice_send(void);

#endif
