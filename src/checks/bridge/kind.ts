import type { CheckProblem } from '../../guide/check-kind.ts';
import { formatQuantity } from '../../measure/reading/format.ts';
import { isInside, voltageProblems } from '../circuit-reading.ts';
import { dwellProblems } from '../common-fields.ts';
import type { WholeKind } from '../kind.ts';
import { bridgeEvidence } from './evidence.ts';
import { judgeBridge } from './judge.ts';
import { closureMostAmpere, closureOhm, predictBridge } from './prediction.ts';
import { bridgeSchema } from './schema.ts';
import { typedBridge } from './typed.ts';

/**
 * A closure on the live device, which proves itself by the collapse of the idle voltage; then the
 * device's answer to it.
 */
export const bridgeKind = {
  name: 'bridge',
  schema: bridgeSchema,
  predict: predictBridge,
  limits: ({ idle }) => idle,
  asked({ power, idle, durationMs, collapse, input, question, withinMs }, rule) {
    return { limits: idle, rule, power, durationMs, collapse, input, question, withinMs };
  },
  judge: judgeBridge,
  evidence: bridgeEvidence,
  typed: typedBridge,
  problems(_guide, check) {
    const problems: CheckProblem[] = voltageProblems(check.idle).map((one) => ({
      ...one,
      at: ['idle', ...one.at.slice(1)],
    }));
    if (isInside(0, check.idle)) problems.push({ severity: 'error', code: 'bridge.idle-zero', at: ['idle'], args: {} });
    return [...problems, ...dwellProblems(check)];
  },
  /**
   * What a closure would do on a healthy device: prove itself, carry what a key carries, and be
   * answered.
   */
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
} satisfies WholeKind<'bridge'>;
