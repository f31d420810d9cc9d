import { predictChecks } from '../../checks/guides.ts';
import { checkKinds } from '../../checks/registry.ts';
import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { type CircuitState, nodeOf, solveCircuit } from '../../guide/circuit/circuit.ts';
import { openOhm } from '../../guide/circuit/faults.ts';
import { loadGuide } from '../../guide/file/load.ts';
import { didYouMean } from '../../guide/file/near.ts';
import type { Guide } from '../../guide/types.ts';
import { formatQuantity } from '../../measure/reading/format.ts';
import { faultsOf } from '../job/simulator.ts';
import { type Context, printJson } from '../program/context.ts';
import { exitCodes } from '../program/exit-codes.ts';
import type { PredictOptions } from './guide-predict-command.ts';

/** `guide predict`: prints what the circuit predicts for every check, and for the pairs asked. */
export async function guidePredict(file: string, options: PredictOptions, { terminal }: Context): Promise<number> {
  const { guide } = await loadGuide(file, checkKinds);
  const { pressed } = options;
  const faults = faultsOf(options.fault, guide);
  const bridge = options.bridge === undefined ? undefined : padPair(options.bridge, guide, '--bridge');
  const state: CircuitState = {
    power: options.power,
    pressed,
    faults,
    level: 'normal',
    bridge: bridge === undefined ? undefined : { padA: bridge[0], padB: bridge[1], ohm: 0.2 },
  };
  for (const key of pressed)
    mustBe(
      key,
      guide.keys.map((k) => k.id),
      'key',
      '--pressed',
    );
  const circuit = solveCircuit(guide, state);
  const pairs = options.between.map((text) => {
    const [padA, padB] = padPair(text, guide, '--between');
    const { openVolt, sourceOhm } = circuit.thevenin(padA, padB);
    return { pads: [padA, padB], ohm: circuit.resistanceOhm(padA, padB), volt: openVolt, sourceOhm };
  });
  const inputs = guide.inputs.map((input) => ({
    id: input.id,
    volt: circuit.nodeVolt(input.node),
    responds: circuit.responds(input.id),
  }));
  const checks = predictChecks(guide, { faults });
  if (options.json) {
    printJson(terminal, {
      guide: guide.id,
      faults: options.fault,
      power: options.power,
      checks,
      between: pairs,
      inputs,
    });
    return exitCodes.passed;
  }
  for (const check of checks) terminal.out(checkText(check));
  for (const pair of pairs) {
    terminal.out(`${pair.pads.join(' - ')}: ${ohmText(pair.ohm)}, ${voltText(pair.volt)} (device ${options.power})`);
  }
  if (options.power === 'on') {
    for (const input of inputs) {
      terminal.out(`input ${input.id}: ${voltText(input.volt)}, ${input.responds ? 'responds' : 'rests'}`);
    }
  }
  return exitCodes.passed;
}

function checkText(check: ReturnType<typeof predictChecks>[number]): string {
  const limits =
    check.insideLimits === null ? '' : check.insideLimits ? ' (inside its limits)' : ' (OUTSIDE its limits)';
  const { predicted } = check;
  const values = [
    predicted.ohm === undefined ? null : ohmText(predicted.ohm),
    predicted.volt === undefined ? null : voltText(predicted.volt),
    predicted.answer ?? null,
  ].filter((v) => v !== null);
  return `${check.check}: ${values.join(', ')}${limits}`;
}

function ohmText(ohm: number): string {
  return formatQuantity(ohm >= openOhm ? Number.POSITIVE_INFINITY : ohm, 'resistance');
}

/** A microvolt is less than any check can see: leak currents of the model, not of the device. */
function voltText(volt: number): string {
  return formatQuantity(Math.round(volt * 1e6) / 1e6 + 0, 'voltage');
}

/** Returns the two pads of `PAD,PAD`. @throws usage.pads */
export function padPair(text: string, guide: Guide, option: string): [string, string] {
  const parts = text.split(',').map((part) => part.trim());
  const [a, b] = parts;
  if (parts.length !== 2 || a === undefined || b === undefined || a === b) {
    throw new OhmwrightError('usage.pads', `${option} ${text}: this takes two different pads.`, {
      help: 'Write PAD,PAD.',
    });
  }
  for (const pad of [a, b]) {
    if (nodeOf(guide, pad) === null)
      mustBe(
        pad,
        guide.pads.map((p) => p.id),
        'pad',
        option,
      );
  }
  return [a, b];
}

function mustBe(name: string, known: string[], what: string, option: string): void {
  if (known.includes(name)) return;
  throw new OhmwrightError(`usage.${what}`, `${option}: the guide has no ${what} '${name}'.`, {
    help: `It has: ${known.join(', ')}${didYouMean(name, known)}.`,
  });
}
