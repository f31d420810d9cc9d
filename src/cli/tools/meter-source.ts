import { checkKinds } from '../../checks/registry.ts';
import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { loadGuide } from '../../guide/file/load.ts';
import { onlyProbe, serialSource } from '../../link/probe/find-probes.ts';
import { ProbeLink } from '../../link/probe/probe-link.ts';
import type { Calibration } from '../../measure/types.ts';
import { feelsTips } from '../../protocol/flags.ts';
import { serialText } from '../../protocol/probe-serial.ts';
import type { ReadingBatch } from '../../protocol/reading-batch.ts';
import { readCalibrationFile } from '../../record/store/calibration-file.ts';
import { calibrationOf } from '../../session/engine/calibration-in-force.ts';
import { padPair } from '../guides/guide-predict.ts';
import { makeSimulator, type SimulatorOptions } from '../job/simulator.ts';
import type { Context } from '../program/context.ts';
import { simulatedPort } from '../program/open-probe.ts';
import { calibrationsFolderOf } from '../program/record-path.ts';

export interface SourceOptions extends SimulatorOptions {
  port?: string;
  guide?: string;
  between?: string;
  quantity: 'resistance' | 'voltage';
  level: 'normal' | 'dry';
}

/** What is told of the tips while they are read. */
export interface TipsSeen {
  /** A probe is there and reads, with this calibration. */
  probe(text: string, calibration: Calibration, feelsTips: boolean): void;
  batch(batch: ReadingBatch): void;
  /** The link went away; the source looks for the probe again, if it shall. */
  lost(why: string): void;
}

/** Reads the tips until `until` settles; with `reconnect`, also over a cable that was pulled and put back. */
export async function readTips(
  options: SourceOptions & { reconnect: boolean },
  seen: TipsSeen,
  until: Promise<void>,
  { signal, terminal }: Context,
): Promise<void> {
  const simulator = options.port === simulatedPort ? await simulatedTips(options) : null;
  const port = options.port ?? (await onlyProbe({ signal }));
  const openSerial = serialSource(port);
  let fail = (_error: unknown): void => undefined;
  const failed = new Promise<never>((_resolve, reject) => {
    fail = reject;
  });
  failed.catch(() => undefined); // looked at once the link is there
  let link: Promise<ProbeLink> | null = null;
  const begin = async (): Promise<void> => {
    const probe = await link!;
    const { probeSerial } = probe.identity;
    const file = await readCalibrationFile(calibrationsFolderOf(undefined, terminal), probeSerial);
    const { calibration, text } = calibrationOf(
      await probe.readCalibration(),
      probeSerial,
      terminal.now().getTime(),
      file,
    );
    seen.probe(`probe ${serialText(probeSerial)} on ${port}; ${text}`, calibration, feelsTips(probe.identity));
    await probe.request({ type: 'start', rate: 'standard', batch: 8 });
    await probe.request({ type: 'mode', mode: options.quantity, level: options.level, range: 'auto', input: 'tips' });
  };
  link = ProbeLink.connect(() => simulator?.transport ?? openSerial(), {
    signal,
    reconnect: options.reconnect,
    onItem(item) {
      // a link that breaks while it is being set up is found again, and set up again then
      if (item.kind === 'connected') begin().catch((error) => (options.reconnect ? undefined : fail(error)));
      else if (item.kind === 'readings') seen.batch(item.batch);
      else if (item.kind === 'disconnected') {
        seen.lost(item.why);
        if (!options.reconnect) fail(lost(item.why));
      }
    },
  });
  const open = await link;
  try {
    await Promise.race([until, failed]);
  } finally {
    await open.close();
  }
}

async function simulatedTips(options: SourceOptions) {
  if (options.guide === undefined || options.between === undefined) {
    throw usage('An emulated probe needs --guide FILE and --between PAD,PAD.', 'Say what its tips touch.');
  }
  const { guide } = await loadGuide(options.guide, checkKinds);
  const pads = padPair(options.between, guide, '--between');
  const simulator = await makeSimulator(guide, options);
  if (options.quantity === 'voltage') simulator.device.setPower('on');
  simulator.hands.perform([{ do: 'touch', pads }]);
  return simulator;
}

function usage(message: string, help: string): OhmwrightError {
  return new OhmwrightError('usage.meter', message, { help });
}

function lost(why: string): OhmwrightError {
  return new OhmwrightError('link.lost', `The link to the probe is lost: ${why}.`, {
    help: 'Check the cable and start again.',
  });
}
