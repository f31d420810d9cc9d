/* The watchdog and the reset cause. */
#include <avr/io.h>
#include <avr/wdt.h>
#include "../../core/board.h"
#include "../../core/protocol_table.h"
#include "modules.h"

_Static_assert(OW_TIMEOUT_MS_WATCHDOG == 250u, "WDTO_250MS below");
_Static_assert(OW_RESET_CAUSE_POWER_ON == _BV(PORF) && OW_RESET_CAUSE_EXTERNAL == _BV(EXTRF) && OW_RESET_CAUSE_BROWN_OUT == _BV(BORF)
                   && OW_RESET_CAUSE_WATCHDOG == _BV(WDRF),
               "the causes of the wire are the bits of MCUSR");

/* .bss is zeroed after .init3, so these live where start-up code leaves them alone. */
static uint8_t cause __attribute__((section(".noinit")));
static uint16_t watchdog_resets __attribute__((section(".noinit")));

/* The watchdog stays on through its own reset, with its shortest time: off before anything else. */
void save_cause(void) __attribute__((naked, used, section(".init3")));
void save_cause(void)
{
    cause = MCUSR;
    MCUSR = 0;
    wdt_disable();
}

void watchdog_begin(void)
{
    if (cause & (_BV(PORF) | _BV(BORF))) watchdog_resets = 0; /* memory is not to be trusted after these */
    else if (cause & _BV(WDRF)) watchdog_resets++;
    wdt_enable(WDTO_250MS);
}

uint8_t board_reset_cause(void)
{
    return cause;
}

uint16_t board_watchdog_resets(void)
{
    return watchdog_resets;
}

void board_still_alive(void)
{
    wdt_reset();
}
