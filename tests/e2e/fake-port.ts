import { afterEach } from 'vitest';
import { openPty, type Pty } from '../../sim/wire/pty.ts';
import { FrameDecoder } from '../../src/protocol/frame-decoder.ts';
import { encodeAnswer, type ProbeAnswer } from '../../src/protocol/messages.ts';
import { requestTable, statusTable } from '../../src/protocol/table.ts';

const open: Pty[] = [];
afterEach(() => {
  for (const pty of open.splice(0)) pty.close();
});

/** Returns a port on which nobody answers. */
export function silentPort(): Pty {
  const pty = openPty(() => undefined);
  open.push(pty);
  return pty;
}

/** Returns a port on which every byte that is written brings more bytes that mean nothing. */
export function noisyPort(noise: (turn: number) => Uint8Array): Pty {
  let turn = 0;
  const pty = openPty(() => pty.write(noise(turn++)));
  open.push(pty);
  return pty;
}

/** Returns a port with a probe that speaks another major version: it refuses a hello of ours, or answers it in its own way. */
export function otherVersionPort(protoMajor: number, refuses: boolean): Pty {
  const decoder = new FrameDecoder();
  const pty = openPty((bytes) =>
    decoder.push(bytes, (payload) => {
      const [type, seq = 0, hostMajor] = payload;
      if (type !== requestTable.hello.type) return;
      const isOurs = hostMajor !== protoMajor;
      pty.write(
        encodeAnswer(
          isOurs && refuses
            ? {
                kind: 'answer',
                request: 'hello',
                seq,
                status: 'wrongVersion',
                statusCode: statusTable.wrongVersion.code,
              }
            : hello(seq),
        ),
      );
    }),
  );
  const hello = (seq: number) =>
    ({
      kind: 'answer',
      request: 'hello',
      seq,
      status: 'ok',
      protoMajor,
      protoMinor: 0,
      fwMajor: protoMajor,
      fwMinor: 0,
      fwBuild: 1,
      probeSerial: 1,
      capabilities: 0,
      resetCause: 1,
      bootCount: 1,
      maxPayload: 64,
      clockUs: 0,
    }) as ProbeAnswer;
  open.push(pty);
  return pty;
}
