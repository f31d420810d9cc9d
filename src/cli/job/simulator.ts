import { checkKinds } from '../../checks/registry.ts';
import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { parseFault } from '../../guide/circuit/faults.ts';
import { loadGuide } from '../../guide/file/load.ts';
import type { Fault, Guide } from '../../guide/types.ts';
import type { SimulatorOptions } from '../program/program-options.ts';

/** Returns the faults that were asked for by text. @throws usage.fault */
export function faultsOf(texts: readonly string[], guide: Guide): Fault[] {
  return texts.map((text) => {
    const parsed = parseFault(text, guide);
    if (parsed.ok) return parsed.fault;
    throw new OhmwrightError('usage.fault', `--fault ${text}: ${parsed.what}.`, {
      help: 'Write LINK=open, LINK=high:47ohm, LINK=short:NODE, LINK=film, LINK=weak, LINK=intermittent, LINK=stuck, LINK=leaky or LINK=welded.',
    });
  });
}

/**
 * Returns an emulated probe with a specimen of the guide's device at its tips, and hands to work
 * them.
 *
 * @param options `device`: file of the guide that the device is of, when it is not the one it is
 *   judged by; `fault` names its links. `pace`: factor on the hands' times, 1 is a quick person;
 *   left out: that one, who acknowledges cautions at once
 */
export async function makeSimulator(
  guide: Guide,
  { fault, seed, realTime, pace, device }: SimulatorOptions & { pace?: number; device?: string | undefined },
) {
  const { simulate } = await import('../../../sim/index.ts');
  const emulated = await emulatedDevice(guide, { fault, device });
  return simulate({ ...emulated, judgedBy: guide, seed, realTime, pace });
}

/**
 * Returns the device of an emulated probe, and what is wrong with it.
 *
 * @throws usage.fault, usage.device; what keeps its guide from being read
 */
export async function emulatedDevice(
  guide: Guide,
  { fault, device }: { fault: readonly string[]; device?: string | undefined },
): Promise<{ guide: Guide; faults: Fault[] }> {
  const own = device === undefined ? guide : (await loadGuide(device, checkKinds)).guide;
  if (device !== undefined) refuseUnlike(device, own, guide);
  return { guide: own, faults: faultsOf(fault, own) };
}

/** The hands are asked by names of the guide in hand: the device has to have them too. */
function refuseUnlike(file: string, device: Guide, guide: Guide): void {
  const { pads, keys, access, inputs } = wantedOf(guide);
  const lists = {
    pad: [pads, device.pads],
    key: [keys, device.keys],
    'state of access': [access, device.access],
  } as const;
  for (const [kind, [wanted, known]] of Object.entries({ ...lists, input: [inputs, device.inputs] as const })) {
    const missing = wanted.find((id) => known.every((one) => one.id !== id));
    if (missing === undefined) continue;
    throw new OhmwrightError(
      'usage.device',
      `--device ${file}: the device has no ${kind} '${missing}', which the guide asks for.`,
      {
        help: 'Name the guide of a device with the same pads, keys, states and inputs.',
      },
    );
  }
}

function wantedOf({ checks }: Guide): Record<'pads' | 'keys' | 'access' | 'inputs', string[]> {
  return {
    pads: checks.flatMap(({ pads }) => pads ?? []),
    keys: checks.flatMap((check) => ('key' in check ? [check.key] : 'pressed' in check ? check.pressed : [])),
    access: checks.flatMap(({ access }) => access ?? []),
    inputs: checks.flatMap((check) => ('input' in check ? [check.input] : [])),
  };
}

export type HandsOfSimulator = Awaited<ReturnType<typeof makeSimulator>>['hands'];
