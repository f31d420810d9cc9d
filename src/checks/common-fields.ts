import { z } from 'zod';
import type { CheckProblem } from '../guide/check-kind.ts';
import { id, minutes, quantity, textField } from '../guide/file/fields.ts';
import type { Check, CheckCommon } from '../guide/types.ts';
import { contactSettingsProblem, touchSettings } from '../measure/contact/contact-settings.ts';

/** The fields that every kind has, as they stand in a file. */
export const commonFields = {
  id,
  title: textField,
  power: z.enum(['off', 'on'], { error: 'power.form' }).default('off'),
  access: id.optional(),
  minutes: minutes.default(1),
  prompt: textField,
  dwell: quantity('second', 0.001).optional(),
};

/** Returns a check with its `dwell` in milliseconds, under the name that says so. */
export function withDwellMs<T extends { dwell?: number | undefined }>({ dwell, ...rest }: T) {
  return dwell === undefined ? rest : { ...rest, dwellMs: dwell * 1e3 };
}

/** Returns what is wrong with how long a check's touch is to be steady before it is captured. */
export function dwellProblems({ dwellMs }: CheckCommon): CheckProblem[] {
  if (dwellMs === undefined) return [];
  const reason = contactSettingsProblem(touchSettings({ dwellUs: dwellMs * 1000, seatSense: true }));
  return reason === null ? [] : [{ severity: 'error', code: 'dwell.range', at: ['dwell'], args: { reason } }];
}

/** Returns a warning for a dwell of a check that waits for no touch to settle. */
export function idleDwellProblems({ dwellMs, kind }: Check): CheckProblem[] {
  return dwellMs === undefined ? [] : [{ severity: 'warning', code: 'dwell.idle', at: ['dwell'], args: { kind } }];
}
