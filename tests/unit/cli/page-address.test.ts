import { expect, test } from 'vitest';
import { pageAddress } from '../../../src/cli/page/page-address.ts';

test('no page unless it is asked for; on this computer unless an address is given', () => {
  expect(pageAddress({})).toBeNull();
  expect(pageAddress({ page: true })).toEqual({ host: '127.0.0.1', port: 0 });
});

test.each([
  ['192.168.1.20', { host: '192.168.1.20', port: 0 }],
  ['192.168.1.20:8080', { host: '192.168.1.20', port: 8080 }],
  ['localhost:8080', { host: 'localhost', port: 8080 }],
  ['fe80::1', { host: 'fe80::1', port: 0 }],
  ['[fe80::1]:8080', { host: 'fe80::1', port: 8080 }],
  ['::1', { host: '::1', port: 0 }],
])('%s is an address', (pageListen, address) => {
  expect(pageAddress({ pageListen })).toEqual(address);
});

test.each(['', 'here', '192.168.1.20:70000', '192.168.1.300', '192.168.1.20:', 'http://192.168.1.20', ':8080'])(
  '"%s" is none',
  (pageListen) => {
    expect(() => pageAddress({ pageListen })).toThrow(expect.objectContaining({ code: 'usage.page-address' }));
  },
);
