// Records of many jobs, each with the proofs of one probe.
import { mkdir, utimes, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { normals } from '../../outside/seeded-normals.ts';
import { captured, chainOf, type NewOf, opened, probe, probeSerial, proof } from '../../support/sample-job.ts';

export const dayMs = 86_400_000;
export const firstDayMs = Date.UTC(2031, 2, 1);

/** Writes records of one job a day into a new folder and returns it; the check resistor reads by `ohmOn(day)`. */
export async function proofRecords(
  parent: string,
  name: string,
  days: number,
  ohmOn: (day: number) => number,
  serial = probeSerial,
): Promise<string> {
  const folder = join(parent, name);
  await mkdir(folder);
  const draw = normals(days);
  const of = (made: NewOf<'proof'>): NewOf<'proof'> => ({
    ...made,
    capture: { ...made.capture!, probeSerial: serial },
  });
  for (let day = 0; day < days; day++) {
    const check = () => ohmOn(day) + 0.05 * draw();
    const entries = [
      { ...opened, job: `day-${day}` },
      probe(serial),
      of(proof('opening', 'shorted-tips', 0.0005 * draw())),
      of(proof('opening', 'check-resistor', check())),
      captured('spring', 0.4),
      of(proof('closing', 'shorted-tips', 0.0005 * draw())),
      of(proof('closing', 'check-resistor', check())),
    ];
    const { bytes } = chainOf(entries, firstDayMs + day * dayMs);
    const path = join(folder, `day-${String(day).padStart(2, '0')}.owjob`);
    await writeFile(path, bytes);
    const at = new Date(firstDayMs + day * dayMs);
    await utimes(path, at, at);
  }
  return folder;
}
