import { z } from 'zod';
import type { CheckKind, CheckProblem } from '../guide/check-kind.ts';
import { id, limits, pads, percent, quantity, text } from '../guide/file/fields.ts';
import type { BridgeCheck } from '../guide/types.ts';
import { formatQuantity } from '../measure/reading/format.ts';
import { isInside, isUnsteadyVolt, meterOhm, voltageProblems } from './circuit-reading.ts';
import { commonFields, withDwellMs } from './common-fields.ts';

/** The probe's closure between two pads as its parts are marked, in ohm. */
export const closureOhm = 1;

/** A key's closure carries less than this; more is a supply, which is never bridged. Ampere; our choice. */
export const closureMostAmpere = 0.05;

/** A closure on the live device, which proves itself by the collapse of the idle voltage; then the device's answer to it. */
export const bridgeKind = {
  name: 'bridge',
  schema: z
    .strictObject({
      kind: z.literal('bridge'),
      ...commonFields,
      power: z.literal('on', { error: 'power.bridge' }).default('on'),
      pads,
      pressed: z.array(id).default([]),
      idle: limits('volt'),
      closure: quantity('second', 0.02, 2).default(0.3),
      collapse: percent(0.9, 0.01).default(0.3),
      input: id,
      question: text,
      answer: z.enum(['person', 'light'], { error: undefined }).default('person'),
      within: quantity('second', 0.05, 10).optional(),
    })
    .transform(withDwellMs)
    .transform(({ closure, within, ...rest }) => ({
      ...rest,
      durationMs: closure * 1e3,
      withinMs: (within ?? 1) * 1e3,
    })),
  predict(guide, check, solve, faults) {
    const [padA, padB] = check.pads;
    const bare = { power: check.power, pressed: check.pressed, level: 'normal', access: check.access } as const;
    const how = { ...bare, bridge: { padA, padB, ohm: meterOhm } };
    const open = solve(how);
    const closed = solve({ ...bare, bridge: { padA, padB, ohm: closureOhm } });
    const idleVolt = open.thevenin(padA, padB).openVolt;
    const closedVolt = closed.thevenin(padA, padB).openVolt;
    const proven = isInside(idleVolt, check.idle) && Math.abs(closedVolt) < check.collapse * Math.abs(idleVolt);
    const responds = closed.responds(check.input) && !open.responds(check.input);
    return {
      check: check.id,
      kind: check.kind,
      predicted: { idleVolt, closedVolt, proven, responds },
      insideLimits: proven && responds,
      unsteady: isUnsteadyVolt(guide, solve, how, check.pads, faults),
      spread: 0,
    };
  },
  problems(_guide, check) {
    const problems: CheckProblem[] = voltageProblems(check.idle).map((one) => ({
      ...one,
      at: ['idle', ...one.at.slice(1)],
    }));
    if (isInside(0, check.idle)) problems.push({ severity: 'error', code: 'bridge.idle-zero', at: ['idle'], args: {} });
    return problems;
  },
  /** What a closure would do on a healthy device: prove itself, carry what a key carries, and be answered. */
  healthyProblems(check, healthy, solve) {
    const { idleVolt = 0, closedVolt = 0, proven, responds } = healthy.predicted;
    const idle = formatQuantity(idleVolt, 'voltage');
    const ampere = Math.abs(closedVolt) / closureOhm;
    const problem = (code: string, at: string, args: Record<string, string>): CheckProblem[] => [
      { severity: 'error', code, at: [at], args },
    ];
    if (!isInside(idleVolt, check.idle)) return problem('healthy.outside', 'idle', { predicted: idle });
    if (ampere > closureMostAmpere) {
      const args = { current: `${Number(ampere.toPrecision(2))} A`, most: `${closureMostAmpere} A` };
      return problem('bridge.current', 'pads', args);
    }
    if (proven === false) {
      const args = { closed: formatQuantity(closedVolt, 'voltage'), idle, share: String(check.collapse * 100) };
      return problem('bridge.unproven', 'pads', args);
    }
    if (responds !== false) return [];
    const resting = solve({ power: 'on', pressed: check.pressed, level: 'normal', access: check.access });
    const code = resting.responds(check.input) ? 'bridge.responds-before' : 'bridge.no-response';
    return problem(code, 'input', { input: check.input });
  },
} satisfies CheckKind<BridgeCheck>;
