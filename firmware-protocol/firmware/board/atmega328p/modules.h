/* The modules of this board part, a peripheral each, for main.c and for each other. Register names as in the data sheet. */
#ifndef OW_MODULES_H
#define OW_MODULES_H

#include <stdint.h>

void adc_begin(void);
void clock_begin(void);
void pins_begin(void);
void uart_begin(void);
void watchdog_begin(void);

/* Port B */
#define PIN_SOURCE_0 PB0
#define PIN_SOURCE_1 PB1
#define PIN_GAIN200 PB2
#define PIN_DRY PB3
#define PIN_EXCITATION PB4
#define PIN_LED PB5
/* Port C */
#define PIN_SEAT_STROBE PC3
#define PIN_SEAT_A PC4
#define PIN_SEAT_B PC5
/* Port D */
#define PIN_OPEN PD2
#define PIN_BRIDGE PD3
#define PIN_BUTTON PD4
#define PIN_INPUT_0 PD5
#define PIN_TONE PD6
#define PIN_INPUT_1 PD7
/* Converter channels */
#define ADC_SENSE 0u
#define ADC_TIPS 1u
#define ADC_LIGHT 2u

/* Set by every interrupt that leaves work for the main loop: bit 0 of a register that one instruction can set. */
#define WORK_REGISTER GPIOR0
#define WORK_BIT 0

#endif
