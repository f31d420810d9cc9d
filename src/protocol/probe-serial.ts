/** Serial number of a probe that was given none: erased EEPROM. */
export const unsetSerial = 0xffffffff;

/**
 * Returns a probe's serial number as people read it and as the record has it: eight hexadecimal
 * digits, or `ifNone`.
 */
export function serialText(serial: number, ifNone = 'without a serial number'): string {
  return serial === unsetSerial ? ifNone : serial.toString(16).toUpperCase().padStart(8, '0');
}
