import { identityOf } from '../protocol/flags.ts';
import type { OkAnswer, ProbeIdentity } from '../protocol/messages.ts';
import { protocolVersion } from '../protocol/table.ts';
import { LinkError } from './link-error.ts';

/** Returns what a probe said of itself. @throws LinkError `link.wrong-version` when it speaks another major version */
export function welcome(hello: OkAnswer<'hello'>, path: string): ProbeIdentity {
  if (hello.protoMajor !== protocolVersion.major) throw wrongVersion(path, `${hello.protoMajor}.${hello.protoMinor}`);
  return identityOf(hello);
}

export function wrongVersion(path: string, theirs: string): LinkError {
  const ours = `${protocolVersion.major}.${protocolVersion.minor}`;
  return new LinkError(
    'link.wrong-version',
    `The probe on ${path} speaks protocol version ${theirs}, this program speaks ${ours}.`,
    'Flash the firmware that came with this program, or use the program that goes with the probe.',
  );
}

/** Returns the error of a port on which nothing answered as a probe would. */
export function notAProbe(path: string, bytes: number, frames: number): LinkError {
  const heard =
    bytes === 0
      ? 'nothing came back'
      : frames > 0
        ? `${bytes} bytes came, with whole frames but no answer to 'hello'`
        : `${bytes} bytes came, none of them a whole frame`;
  return new LinkError(
    'link.not-a-probe',
    `What is on ${path} does not answer as a probe: ${heard}.`,
    "Try 'ohmwright probes' to see which port it is on, or plug it in again.",
  );
}
