import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { goneText, lostText, portError, portErrorCode } from '../../../src/link/serial/port-errors.ts';

// texts as the serial library's sources build them (its bindings for POSIX systems and Windows) from the systems' own errno texts
const texts: [string, string][] = [
  ['Error: No such file or directory, cannot open /dev/ttyUSB0', 'port.gone'],
  ['Error: No such device or address, cannot open /dev/ttyUSB0', 'port.gone'],
  ['Error No such file or directory Cannot open /dev/ttyUSB0', 'port.gone'],
  ['Opening COM7: File not found', 'port.gone'],
  ['Error: Permission denied, cannot open /dev/ttyUSB0', 'port.forbidden'],
  ['Error: Operation not permitted, cannot open /dev/ttyUSB0', 'port.forbidden'],
  ['Error Resource temporarily unavailable Cannot lock port', 'port.busy'],
  ['Error: Device or resource busy, cannot open /dev/ttyUSB0', 'port.busy'],
  ['Error: Resource busy, cannot open /dev/cu.usbserial-10', 'port.busy'],
  ['Opening COM7: Access denied', 'port.busy'],
  ['Error: Inappropriate ioctl for device setting custom baud rate of 500000', 'port.speed'],
  ['Error: Invalid argument setting custom baud rate of 500000', 'port.speed'],
  ['Error: Inappropriate ioctl for device || while retrieving termios2 info', 'port.speed'],
  ['Error: Input/output error, cannot open /dev/ttyUSB0', 'port.failed'],
  ['something new', 'port.failed'],
];

describe('what keeps a port from being opened', () => {
  test.each(texts)('%s: %s', (text, code) => {
    expect(portErrorCode(new Error(text))).toBe(code);
    const error = portError('PORT', new Error(text), { platform: 'linux' });
    expect(error).toMatchObject({ code });
    expect(error.message).toMatch(/PORT.*\.$/);
    expect(error.help).toMatch(/\.$/);
    expect(error.cause).toBeInstanceOf(Error);
  });

  test('a busy port: by whom, as far as that may be seen', () => {
    const busy = new Error('Error Resource temporarily unavailable Cannot lock port');
    const holders = [{ pid: 321, name: 'loggerd' }];
    expect(portError('PORT', busy, { platform: 'linux', holders }).message).toContain('loggerd (process 321)');
    expect(portError('PORT', busy, { platform: 'linux' }).message).toContain('another program');
  });

  test('a forbidden port on Linux: the group, the command, and the rule that this program brings', () => {
    const denied = new Error('Error: Permission denied, cannot open PORT');
    const { help } = portError('PORT', denied, { platform: 'linux', group: 'dialout' });
    expect(help).toContain('sudo usermod -aG dialout $USER');
    expect(help).toContain('70-ohmwright.rules');
    expect(portError('PORT', denied, { platform: 'linux', group: 'root' }).help).not.toContain('usermod');
    expect(portError('PORT', denied, { platform: 'darwin' }).help).not.toContain('udev');
  });

  test('nobody is told to open a port to the world', () => {
    const rules = readFileSync(new URL('../../../firmware-protocol/70-ohmwright.rules', import.meta.url), 'utf8');
    const helps = texts.map(
      ([text]) => portError('PORT', new Error(text), { platform: 'linux', group: 'dialout' }).help,
    );
    for (const text of [...helps, rules]) expect(text).not.toMatch(/chmod|0?666|a\+rw|MODE/);
  });
});

test('the rule is one match and hands the port to the seat, before the number at which seats are served', () => {
  const url = new URL('../../../firmware-protocol/70-ohmwright.rules', import.meta.url);
  const lines = readFileSync(url, 'utf8')
    .split('\n')
    .filter((line) => line !== '' && !line.startsWith('#'));
  expect(lines).toHaveLength(1);
  expect(lines[0]).toContain('TAG+="uaccess"');
  // assignments have one = or +=, matches have == or !=: every part is one of these
  for (const part of lines[0]!.split(', ')) expect(part).toMatch(/^[A-Z]+(\{\w+\})?(==|!=|=|\+=)"[^"]*"$/);
});

describe('an open port that ends by itself', () => {
  test.each([
    'bad file descriptor',
    'Error: Input/output error, cannot read',
    'EIO: i/o error, write',
    'ENXIO: no such device or address',
  ])('%s: the device was taken away', (text) => {
    expect(lostText(new Error(text))).toBe(goneText);
  });

  test('anything else is told as it is', () => {
    expect(lostText(new Error('parity'))).toBe('parity');
  });
});
