/* Start-up and the main loop: asleep until an interrupt leaves work. */
#include <avr/interrupt.h>
#include <avr/io.h>
#include <avr/sleep.h>
#include "../../core/board.h"
#include "../../core/probe.h"
#include "modules.h"

void board_hold_interrupts(void)
{
    cli();
}

void board_release_interrupts(void)
{
    sei();
}

/* Sleeps until there is work. The converter always runs and always leaves some: should it ever stop, the watchdog bites. */
static void rest(void)
{
    for (;;) {
        cli();
        if (WORK_REGISTER & _BV(WORK_BIT)) break;
        sleep_enable();
        sei(); /* the instruction after SEI runs before any interrupt: no wake-up is lost */
        sleep_cpu();
        sleep_disable();
    }
    WORK_REGISTER &= (uint8_t)~_BV(WORK_BIT);
    sei();
}

int main(void)
{
    pins_begin();
    watchdog_begin();
    uart_begin();
    clock_begin();
    adc_begin();
    probe_begin();
    set_sleep_mode(SLEEP_MODE_IDLE);
    sei();
    probe_hello();
    for (;;) {
        board_still_alive();
        probe_loop();
        rest();
    }
}
