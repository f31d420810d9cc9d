import { closeSync, mkdirSync, openSync, symlinkSync, writeFileSync } from 'node:fs';
import { userInfo } from 'node:os';
import { join } from 'node:path';
import { beforeEach, describe, expect, test } from 'vitest';
import { owningGroup, portHolders } from '../../../src/link/serial/port-holders.ts';
import { scratch } from '../../support/scratch.ts';

let folder = '';
beforeEach(() => {
  folder = scratch();
});

/** Makes a process as /proc shows it. */
function fakeProcess(pid: number, name: string | null, open: string[]): void {
  mkdirSync(join(folder, `${pid}`, 'fd'), { recursive: true });
  if (name !== null) writeFileSync(join(folder, `${pid}`, 'comm'), `${name}\n`);
  open.forEach((target, i) => {
    symlinkSync(target, join(folder, `${pid}`, 'fd', `${i}`));
  });
}

describe('who holds a port', () => {
  test('every program that has it open, by name where there is one', async () => {
    fakeProcess(10, 'loggerd', ['/dev/null', '/dev/ttyTEST']);
    fakeProcess(11, 'shell', ['/dev/null']);
    fakeProcess(12, null, ['/dev/ttyTEST']);
    mkdirSync(join(folder, 'self'));
    mkdirSync(join(folder, '13')); // one that ended just now
    expect(await portHolders('/dev/ttyTEST', folder)).toEqual([
      { pid: 10, name: 'loggerd' },
      { pid: 12, name: 'a program' },
    ]);
  });

  test('also when the port is named by a link', async () => {
    const real = join(folder, 'real-port');
    const byId = join(folder, 'by-id');
    closeSync(openSync(real, 'w'));
    symlinkSync(real, byId);
    fakeProcess(10, 'loggerd', [real]);
    expect(await portHolders(byId, folder)).toEqual([{ pid: 10, name: 'loggerd' }]);
  });

  test('nobody, where there is no such list', async () => {
    expect(await portHolders('/dev/ttyTEST', join(folder, 'none'))).toEqual([]);
  });
});

describe('the group that owns a port', () => {
  test('by name, else by number; none without a file', async () => {
    const file = join(folder, 'port');
    const groups = join(folder, 'group');
    writeFileSync(file, '');
    const { gid } = userInfo();
    writeFileSync(groups, `other:x:99999:\ndialout:x:${gid}:someone\n`);
    expect(await owningGroup(file, groups)).toBe('dialout');
    expect(await owningGroup(file, join(folder, 'none'))).toBe(String(gid));
    expect(await owningGroup(join(folder, 'missing'), groups)).toBeNull();
  });
});
