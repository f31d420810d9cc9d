// The golden frames, sent to the committed image: what it must take, it takes; what it must drop, it drops and counts.
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { EmulatedProbe } from '../../../sim/probe/emulated-probe.ts';
import type { OkAnswer } from '../../../src/protocol/messages.ts';
import { ProbeHost } from '../../support/probe-host.ts';
import { SetWorld } from '../../support/worlds.ts';

interface Vector {
  name: string;
  direction: 'request' | 'answer' | 'notice' | 'malformed';
  message: { name: string; seq: number; counter?: string } & Record<string, unknown>;
  frameHex: string;
}

const { vectors } = JSON.parse(
  readFileSync(new URL('../../../firmware-protocol/vectors.json', import.meta.url), 'utf8'),
) as { vectors: Vector[] };
const frameOf = (vector: Vector): Uint8Array => Uint8Array.from(Buffer.from(vector.frameHex, 'hex'));
const of = (direction: Vector['direction']): Vector[] => vectors.filter((vector) => vector.direction === direction);

/** Requests that this probe refuses in the state it is in after boot, with the status it must give. */
const refusals: Readonly<Record<string, string>> = {
  'hello from a host of another major version': 'wrongVersion',
  'bridge for the longest time': 'wrongMode',
  'bridge for 192 ms: the duration is an END byte': 'wrongMode',
};

function booted(): ProbeHost {
  const probe = new EmulatedProbe({ seed: 1, world: new SetWorld() });
  probe.runUntilUs(150_000);
  return new ProbeHost(probe);
}

describe('requests', () => {
  test.each(of('request').map((vector) => [vector.name, vector] as const))('%s', (name, vector) => {
    const host = booted();
    // a calibration write goes a byte at a time, 3.4 ms each
    host.send(frameOf(vector), 200_000);
    const answer = host.incoming.map(({ message }) => message).find((message) => message.kind === 'answer');
    expect(answer).toMatchObject({
      request: vector.message.name,
      seq: vector.message.seq,
      status: refusals[name] ?? 'ok',
    });
    if (vector.message.name === 'echo')
      expect(Array.from((answer as OkAnswer<'echo'>).data)).toEqual(vector.message.data);
    expect(host.decoder.counters).toMatchObject({ crcErrors: 0, badEscapes: 0, oversize: 0, runts: 0 });
  });

  test('all of them in one stream, whatever comes before: answered in order', () => {
    const host = booted();
    host.send(Uint8Array.of(0x55, 0xdb, 0x01, 0xff, 0xc0));
    const echoes = of('request').filter((vector) => vector.message.name === 'echo');
    for (const vector of echoes) host.send(frameOf(vector), 10_000);
    const seen = host.incoming.map(({ message }) => message).filter((message) => message.kind === 'answer');
    expect(seen.map((message) => message.seq)).toEqual(echoes.map((vector) => vector.message.seq));
  });
});

describe('damaged frames', () => {
  test.each(of('malformed').map((vector) => [vector.name, vector] as const))(
    '%s: no answer, counted',
    (_name, vector) => {
      const host = booted();
      host.send(frameOf(vector), 20_000);
      expect(host.incoming.filter(({ message }) => message.kind === 'answer')).toEqual([]);
      const { crcErrors, badFrames } = host.do({ type: 'counters' });
      expect({ crcErrors, badFrames }).toEqual(
        vector.message.counter === 'crcErrors' ? { crcErrors: 1, badFrames: 0 } : { crcErrors: 0, badFrames: 1 },
      );
    },
  );
});

describe('calibration area', () => {
  test('what is written comes back, also after each kind of reset', () => {
    const host = booted();
    const data = Uint8Array.from({ length: 32 }, (_, index) => (index * 37 + 0xc0) & 0xff);
    host.do({ type: 'calWrite', offset: 64, data }, 500_000);
    for (const cause of ['external', 'brownOut', 'powerOn'] as const) {
      host.probe.reset(cause);
      host.probe.runUntilUs(host.probe.nowUs + 150_000);
      const back = host.do({ type: 'calRead', offset: 64, count: 32 });
      expect(Array.from(back.data)).toEqual(Array.from(data));
    }
  });

  test('boots are counted, and say why', () => {
    const host = booted();
    host.probe.reset('external');
    host.probe.runUntilUs(host.probe.nowUs + 150_000);
    host.probe.brownOut();
    host.probe.runUntilUs(host.probe.nowUs + 150_000);
    const boots = host.incoming.map(({ message }) => message).filter((message) => message.kind === 'boot');
    expect(boots.map((boot) => [boot.resetCause, boot.bootCount])).toEqual([
      [2, 2],
      [4, 3],
    ]);
  });
});
