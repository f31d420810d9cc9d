import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { didYouMean } from '../../guide/file/near.ts';
import type { Guide } from '../../guide/types.ts';
import { simulatedPort } from '../../record/entries/simulated-port.ts';
import type { Printer } from '../program/printer.ts';
import type { SessionOptions } from '../program/program-options.ts';
import { cautionMark, keepDay, readDay } from './bench-day.ts';

/** In place of a list of cautions. */
const all = 'all';

type CautionOptions = Pick<SessionOptions, 'acceptCautions' | 'cautions' | 'port'>;

/**
 * Returns the cautions of a guide that are accepted by an option.
 *
 * @throws OhmwrightError `usage.cautions` for a name that is none of the guide's
 */
export function cautionsByOption({ cautions }: Guide, acceptCautions: string | undefined): string[] {
  const known = cautions.map(({ id }) => id);
  const named = acceptCautions?.split(',').map((id) => id.trim()) ?? [];
  const strange = named.find((id) => id !== all && !known.includes(id));
  if (strange === undefined) return named.includes(all) ? known : named;
  throw new OhmwrightError(
    'usage.cautions',
    `--accept-cautions: the guide has no caution '${strange}'${didYouMean(strange, known)}`,
    { help: known.length === 0 ? 'It has none.' : `Its cautions are ${known.join(', ')}.` },
  );
}

/**
 * Returns the cautions that count as acknowledged before a job: by option, or, where the settings
 * say once a day, by this technician at this bench today.
 */
export async function cautionsAccepted(
  guide: Guide,
  technician: string | undefined,
  options: CautionOptions,
  terminal: Printer,
): Promise<string[]> {
  const byOption = cautionsByOption(guide, options.acceptCautions);
  if (!isDaily(technician, options)) return byOption;
  const { cautions: marks } = await readDay(terminal);
  const read = guide.cautions.filter(({ text }) => marks.includes(cautionMark(technician, text))).map(({ id }) => id);
  return [...new Set([...byOption, ...read])];
}

/** Keeps for the day what a technician has read in a job; what an option accepted, nobody read. */
export async function keepCautionsRead(
  guide: Guide,
  technician: string | undefined,
  acknowledged: readonly string[],
  options: CautionOptions,
  terminal: Printer,
): Promise<void> {
  if (!isDaily(technician, options)) return;
  const byOption = cautionsByOption(guide, options.acceptCautions);
  const read = guide.cautions.filter(({ id }) => acknowledged.includes(id) && !byOption.includes(id));
  const day = await readDay(terminal);
  const marks = new Set([...day.cautions, ...read.map(({ text }) => cautionMark(technician, text))]);
  if (marks.size > day.cautions.length) keepDay({ ...day, cautions: [...marks] }, terminal);
}

/** Nobody is at the tips of an emulated probe, and who is not named can't have read it before. */
function isDaily(technician: string | undefined, { cautions, port }: CautionOptions): technician is string {
  return cautions === 'day' && technician !== undefined && technician !== '' && port !== simulatedPort;
}
