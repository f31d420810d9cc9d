import type { OkAnswer, ProbeIdentity } from '../../protocol/messages.ts';
import { unsetSerial } from '../../protocol/probe-serial.ts';
import { protocolVersion, timeoutTable } from '../../protocol/table.ts';
import { LinkError } from '../link-error.ts';
import type { Connection } from './connection.ts';

/** Sends of hello until a board that reset at opening must have answered. */
const helloTries = Math.ceil(timeoutTable.helloAfterOpen.ms / timeoutTable.answer.ms);
/** Highest major version asked for when a probe refuses ours, to say which it speaks. */
const highestMajorTried = 15;

/**
 * Says hello until the probe answers, and returns the answer; opening may have reset it and started
 * its boot loader. Without an answer the probe is reset by the control line, if there is one, and
 * greeted once more.
 *
 * @throws LinkError `link.not-a-probe`, `link.wrong-version`, or `link.lost` when the port closes
 *   meanwhile
 */
export async function greet(connection: Connection): Promise<OkAnswer<'hello'>> {
  const { transport, decoder } = connection;
  const before = { ...decoder.counters };
  const hello = (await sayHello(connection)) ?? (await sayHelloAfterReset(connection));
  if (hello === null) {
    const { bytes, frames } = decoder.counters;
    throw notAProbe(transport.path, bytes - before.bytes, frames - before.frames);
  }
  if (hello.protoMajor !== protocolVersion.major)
    throw wrongVersion(transport.path, `${hello.protoMajor}.${hello.protoMinor}`);
  return hello;
}

async function sayHello(connection: Connection): Promise<OkAnswer<'hello'> | null> {
  try {
    return await ask(connection, protocolVersion.major, helloTries);
  } catch (error) {
    if (!(error instanceof LinkError)) throw error;
    if (error.code === 'link.no-answer') return null;
    if (error.status !== 'wrongVersion') throw error;
    throw wrongVersion(connection.transport.path, await spokenVersion(connection));
  }
}

async function sayHelloAfterReset(connection: Connection): Promise<OkAnswer<'hello'> | null> {
  const { transport } = connection;
  if (transport.pulseReset === undefined) return null;
  await transport.pulseReset();
  return await sayHello(connection);
}

function ask(connection: Connection, hostMajor: number, tries: number): Promise<OkAnswer<'hello'>> {
  const hello = { type: 'hello', hostMajor, hostMinor: protocolVersion.minor } as const;
  return connection.requests.send(hello, { tries, breaksLink: false });
}

/**
 * Returns the version that a probe speaks which refused ours: a refusal holds no numbers, so each
 * major is tried.
 */
async function spokenVersion(connection: Connection): Promise<string> {
  for (let major = 0; major <= highestMajorTried; major++) {
    if (major === protocolVersion.major) continue;
    try {
      const hello = await ask(connection, major, 2);
      return `${hello.protoMajor}.${hello.protoMinor}`;
    } catch (error) {
      if (!(error instanceof LinkError)) throw error;
      if (error.code === 'link.no-answer') return 'of another major number';
      if (error.status !== 'wrongVersion') throw error;
    }
  }
  return `above ${highestMajorTried}`;
}

/**
 * Switches a probe off, as far as it answers: a probe that does not is as off as it gets from here.
 */
export async function sayGoodbye(connection: Connection): Promise<void> {
  const lastWords = [
    { type: 'mode', mode: 'off', level: 'normal', range: 'auto', input: 'tips' },
    { type: 'stop' },
  ] as const;
  for (const request of lastWords) {
    await connection.requests.send(request, { tries: 1, breaksLink: false }).catch((error: unknown) => {
      if (!(error instanceof LinkError)) throw error;
    });
  }
}

/** Returns the error of a probe with which this program shares no language. `theirs` like `2.0`. */
function wrongVersion(path: string, theirs: string): LinkError {
  const ours = `${protocolVersion.major}.${protocolVersion.minor}`;
  return new LinkError(
    'link.wrong-version',
    `The probe on ${path} speaks protocol version ${theirs}, this program ${ours}.`,
    {
      help: 'Flash the firmware that came with this program, or use the program that goes with the probe.',
      facts: { versions: { theirs, ours } },
    },
  );
}

/** Returns the error of a port on which nothing answered as a probe would, with what was heard. */
function notAProbe(path: string, bytes: number, frames: number): LinkError {
  const came = `${bytes} byte${bytes === 1 ? '' : 's'} came`;
  let heard = 'nothing came back';
  if (frames > 0) heard = `${came}, with ${frames} whole frame${frames === 1 ? '' : 's'} but no answer to hello`;
  else if (bytes > 0) heard = `${came}, no whole frame among them`;
  return new LinkError('link.not-a-probe', `What is on ${path} does not answer as a probe: ${heard}.`, {
    help: 'Run "ohmwright probes" to see which port the probe is on, or unplug it, plug it in and try again.',
    facts: { heard: { bytes, frames } },
  });
}

/** @throws LinkError `link.other-probe` when a reconnect found another probe than the one before */
export function checkSameProbe(path: string, before: ProbeIdentity | null, now: OkAnswer<'hello'>): void {
  if (before === null || before.probeSerial === now.probeSerial) return;
  throw new LinkError('link.other-probe', `The probe on ${path} is ${named(now)}, not ${named(before)} of before.`, {
    help: 'Plug the first one in again, or leave and resume the job with the other.',
  });
}

function named({ probeSerial }: { probeSerial: number }): string {
  return probeSerial === unsetSerial ? 'one without a serial number' : `number ${probeSerial}`;
}
