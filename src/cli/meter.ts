import { calibrationOf } from '../bench/calibration-in-force.ts';
import { contactText, MeterState } from '../bench/meter.ts';
import { loadGuide } from '../guide/load.ts';
import { onlyProbe, serialSource } from '../link/find-probes.ts';
import { ProbeLink } from '../link/probe-link.ts';
import { formatReading } from '../measure/format.ts';
import { OhmwrightError } from '../protocol/ohmwright-error.ts';
import { serialText } from '../report/entry-line.ts';
import { type Context, printJson } from './context.ts';
import { exitCodes } from './exit-codes.ts';
import { padPair } from './guide-predict.ts';
import { simulatedPort } from './job-session.ts';
import { makeSimulator, type SimulatorOptions } from './simulator.ts';

export interface MeterOptions extends SimulatorOptions {
  port?: string;
  json?: boolean;
  guide?: string;
  between?: string;
  quantity: 'resistance' | 'voltage';
  level: 'normal' | 'dry';
  count?: number;
}

/** `meter`: prints what the tips read, about ten lines a second, until interrupted or `count` lines are out. */
export async function meter(options: MeterOptions, { terminal, signal }: Context): Promise<number> {
  const simulator = options.port === simulatedPort ? await simulatedTips(options) : null;
  const port = options.port ?? (await onlyProbe({ signal }));
  const openSerial = serialSource(port);
  const state = new MeterState();
  let shown = 0;
  let end: { resolve: () => void; reject: (error: Error) => void } = {
    resolve: () => undefined,
    reject: () => undefined,
  };
  const ended = new Promise<void>((resolve, reject) => {
    end = { resolve, reject };
  });
  signal.addEventListener('abort', () => end.resolve(), { once: true });
  const link = await ProbeLink.connect(() => simulator?.transport ?? openSerial(), {
    signal,
    onItem(item) {
      if (item.kind === 'disconnected') end.reject(lost(item.why));
      if (item.kind !== 'readings') return;
      const line = state.take(item.batch);
      if (line === null || shown === options.count) return;
      shown += 1;
      if (options.json === true) printJson(terminal, line);
      else terminal.out(`${(line.tUs / 1e6).toFixed(2)} s  ${formatReading(line.reading)}  ${contactText(line)}`);
      if (shown === options.count) end.resolve();
    },
  });
  try {
    const { calibration, text } = calibrationOf(await link.readCalibration(), link.identity.probeSerial);
    terminal.say(`probe ${serialText(link.identity.probeSerial)} on ${port}; ${text}`);
    state.calibration = calibration;
    await link.request({ type: 'start', rate: 'standard', batch: 8 });
    await link.request({ type: 'mode', mode: options.quantity, level: options.level, range: 'auto', input: 'tips' });
    await ended;
  } finally {
    await link.close();
  }
  return exitCodes.passed;
}

async function simulatedTips(options: MeterOptions) {
  if (options.guide === undefined || options.between === undefined) {
    throw usage('An emulated probe needs --guide FILE and --between PAD,PAD.', 'Say what its tips touch.');
  }
  const { guide } = await loadGuide(options.guide);
  const pads = padPair(options.between, guide, '--between');
  const simulator = await makeSimulator(guide, options);
  if (options.quantity === 'voltage') simulator.device.setPower('on');
  simulator.hands.perform([{ do: 'touch', pads }]);
  return simulator;
}

function usage(message: string, help: string): OhmwrightError {
  return new OhmwrightError('usage.meter', message, { exitCode: exitCodes.usage, help });
}

function lost(why: string): OhmwrightError {
  return new OhmwrightError('link.lost', `The link to the probe is lost: ${why}.`, {
    exitCode: exitCodes.link,
    help: 'Check the cable and start again.',
  });
}
