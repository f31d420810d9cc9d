/* Requests of the host: received, decided, answered. One at a time. */
#ifndef OW_REQUESTS_H
#define OW_REQUESTS_H

#include <stdint.h>

void requests_poll(void);
uint32_t requests_last_us(void); /* clock at the last valid request */

#endif
