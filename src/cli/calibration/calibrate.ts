import { combinationsFor, type PresentedStandard } from '../../calibrate/standards/presented-standards.ts';
import { type TypedStandard, typedStandard } from '../../calibrate/standards/typed-standard.ts';
import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { wantsScreen } from '../../faces/screen/terminal/terminal-capabilities.ts';
import { formatQuantity } from '../../measure/reading/format.ts';
import { unsetSerial } from '../../protocol/probe-serial.ts';
import { simulatedPort } from '../../record/entries/simulated-port.ts';
import { type CalibrationSession, openCalibrationSession } from '../../session/calibration/calibration-session.ts';
import { type CalibrationState, pointsOf } from '../../session/calibration/calibration-state.ts';
import { openCalibration } from '../../session/calibration/open-calibration.ts';
import { runShown } from '../../session/engine/session-face.ts';
import { fitSummaryLines } from '../../view/calibration/calibration-lines.ts';
import { type HandsOfSimulator, makeSimulator } from '../job/simulator.ts';
import { calibrationPage } from '../page/session-pages.ts';
import { exampleFile } from '../places/example-file.ts';
import { calibrationsFolderOf } from '../places/locations.ts';
import { type Context, printJson } from '../program/context.ts';
import { exitCodes } from '../program/exit-codes.ts';
import { openProbe } from '../program/open-probe.ts';
import { toolName } from '../program/tool-name.ts';
import { loadScreen } from '../start-up/load-screen.ts';
import type { CalibrateOptions } from './calibrate-command.ts';
import { type CalibrationFace, plainCalibration } from './calibrate-plain.ts';
import { type CalibrationBoard, calibrationBoard } from './calibration-board.ts';
import { checkFolder, storeInProbe, storeOnHost, storePoints, withCheck } from './calibration-store.ts';
import { loadResistorSet, setNoteText } from './load-resistor-set.ts';

/** `calibrate`: a guided session at the probe; stores what came of it unless it is refused. */
export async function calibrate(options: CalibrateOptions, context: Context): Promise<number> {
  const { terminal, signal } = context;
  const { resistors, setId, temperatureC } = await standardsOf(options, context);
  const folder = calibrationsFolderOf(options.calibrations, terminal);
  await checkFolder(folder);
  const meta = {
    probeSerial: 0,
    dateUnixS: Math.floor(terminal.now().getTime() / 1000),
    validDays: options.validDays,
    temperatureC: options.temperature ?? temperatureC,
    setId,
  };
  const emulated = options.port === simulatedPort ? await emulate(options, resistors, context) : null;
  for (const { label, standard } of resistors) {
    if (combinationsFor(standard).length > 0) continue;
    terminal.say(`${label} is left out: it tells nothing on any range.`);
  }
  const probe = await openProbe(options, context, { transport: emulated?.simulator.transport });
  const session = openCalibrationSession(openCalibration(resistors, meta), {
    ...probe,
    inForce(stored, serial) {
      if (serial === unsetSerial) throw noSerial();
      return probe.inForce(stored, serial);
    },
  });
  const hands = emulated === null ? [] : [emulated.hands];
  try {
    const pages = await calibrationPage(options, context);
    const state = await runShown(session, [...pages, await openFace(options, context), ...hands], signal);
    return await conclude(state, session, folder, options, context);
  } finally {
    await session.close();
  }
}

async function standardsOf(options: CalibrateOptions, { terminal }: Context) {
  const file = options.set ?? emulatedSet(options);
  const loaded = file === null ? null : await loadResistorSet(file, terminal.now());
  if (options.set === undefined && loaded !== null) {
    terminal.say(
      `The emulated board holds the resistors of the example set ${loaded.set.id}; --set or --resistor names others.`,
    );
  }
  for (const question of loaded?.questions ?? []) terminal.say(setNoteText(file!, question));
  const typed = options.resistor.map((text): TypedStandard & { ok: true } => {
    const read = typedStandard(text);
    if (read.ok) return read;
    throw new OhmwrightError('usage.resistor', `--resistor '${text}': ${read.text}.`, {
      help: "Write its value and tolerance ('470 ohm 0.1 %'), its letter code or its colour bands.",
    });
  });
  for (const { question } of typed) if (question !== null) terminal.say(question);
  const ofSet = (loaded?.set.resistors ?? []).map(
    ({ name, standard }): PresentedStandard => ({
      id: name,
      label: `${name} (${formatQuantity(standard.ohm, 'resistance')})`,
      standard,
    }),
  );
  const resistors: PresentedStandard[] = [];
  for (const one of [...ofSet, ...typed.map(({ standard }) => standard)]) {
    resistors.push(withOwnName(one, resistors));
  }
  return { resistors, setId: loaded?.set.id ?? '', temperatureC: loaded?.set.temperatureC ?? null };
}

/** Emulated hands have to have something to present. */
function emulatedSet({ port, hands, resistor }: CalibrateOptions): string | null {
  const isAsked = port === simulatedPort && hands && resistor.length === 0;
  return isAsked ? exampleFile('bench-resistors.yaml') : null;
}

/** Two parts of one marking are two standards. */
function withOwnName(one: PresentedStandard, others: readonly PresentedStandard[]): PresentedStandard {
  const same = others.filter(({ label }) => label === one.label || label.startsWith(`${one.label}, the `)).length;
  if (same === 0 || one.standard.kind !== 'resistor') return one;
  const name = `${one.label}, the ${same + 1}.`;
  return { id: name, label: name, standard: { ...one.standard, name } };
}

/** The emulated probe with hands over a board of the resistors. */
async function emulate(options: CalibrateOptions, resistors: readonly PresentedStandard[], { terminal }: Context) {
  if (!options.hands) {
    throw new OhmwrightError('usage.hands', 'Nobody is at the tips of the emulated probe.', {
      help: 'Add --hands: the emulated hands then present each resistor of --set or --resistor.',
    });
  }
  const board = calibrationBoard(resistors);
  const simulator = await makeSimulator(board.guide, {
    fault: [],
    seed: options.seed,
    realTime: !options.fast && wantsScreen(terminal, options),
  });
  return {
    simulator,
    hands: handsFace(simulator.hands, board),
  };
}

/** Returns the emulated hands as a face: they present each standard that is asked for. */
function handsFace(hands: HandsOfSimulator, board: CalibrationBoard): CalibrationFace {
  return {
    join: ({ prompts$ }) => {
      prompts$.subscribe(({ id, act, standard = '' }) => {
        if (act !== 'touch' && act !== 'short-tips' && act !== 'lift' && act !== 'wait') return;
        const pads = board.padsOf(standard);
        hands.prompt(pads === null ? { id, act } : { id, act, pads });
      });
    },
  };
}

async function openFace(options: CalibrateOptions, context: Context): Promise<CalibrationFace> {
  if (wantsScreen(context.terminal, options)) {
    const { calibrationScreen } = await loadScreen();
    return calibrationScreen(options, context);
  }
  return plainCalibration(options, context);
}

/** Says what the session came to, stores it if it may be, and returns the exit code. */
async function conclude(
  state: CalibrationState,
  session: CalibrationSession,
  folder: string,
  options: CalibrateOptions,
  { terminal }: Context,
): Promise<number> {
  for (const line of fitSummaryLines(state)) terminal.say(line);
  const { fit } = state;
  const points = pointsOf(state).length > 0 ? await storePoints(folder, state) : null;
  if (points !== null) terminal.say(`points: ${points}`);
  const verdict = fit?.verdict ?? 'refused';
  const isKept = state.end === 'done' && (verdict === 'good' || (verdict === 'doubtful' && options.acceptDoubtful));
  let stored: { path: string; keptPath: string | null } | null = null;
  if (isKept) {
    const { calibration, block } = withCheck(fit!, state.check);
    if (options.writeProbe) {
      await storeInProbe(await session.link, block);
      terminal.say('calibration written into the probe and read back');
    }
    stored = await storeOnHost(folder, state, calibration, toolName);
    terminal.say(`calibration: ${verdict}; ${stored.path}`);
    if (stored.keptPath !== null) terminal.say(`the one before it: ${stored.keptPath}`);
  } else terminal.say(notKeptText(state, verdict));
  if (options.json) {
    const { calibration = null } = isKept ? withCheck(fit!, state.check) : {};
    const inProbe = isKept && options.writeProbe;
    const { check } = state;
    // points and check are older names
    const told = { pointsFile: points, points, checkResistor: check, check };
    printJson(terminal, { verdict, stored, inProbe, ...told, fit, calibration });
  }
  if (state.end === 'left') return exitCodes.inconclusive;
  return verdict === 'refused' ? exitCodes.failed : isKept ? exitCodes.passed : exitCodes.inconclusive;
}

function notKeptText(state: CalibrationState, verdict: string): string {
  if (state.end === 'left') return 'Left: nothing was put in force; what was in force before still is.';
  if (verdict === 'doubtful') {
    return 'Calibration doubtful, for the reasons above: not put in force. Take more points, or run it again with --accept-doubtful.';
  }
  return 'Calibration refused, for the reasons above: nothing was put in force; what was in force before still is.';
}

function noSerial(): OhmwrightError {
  return new OhmwrightError('calibration.no-serial', 'This probe has no serial number.', {
    help: "A calibration belongs to one probe: give it a number first (request setSerial, protocol.md), or another's would be taken for its own.",
  });
}
