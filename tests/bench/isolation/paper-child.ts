// One part of a row of devices on paper: ROW, COUNT, SEED, and which part of how many. Prints what became of each, one JSON line each.
import { paperGuides, paperResult, type RowName } from './paper-rows.ts';

const [row, ...numbers] = process.argv.slice(2) as [RowName, ...string[]];
const [count, seed, part, parts] = numbers.map(Number) as [number, number, number, number];
const guides = await paperGuides(seed);
for (let number = part; number < count; number += parts) {
  process.stdout.write(`${JSON.stringify(paperResult(row, guides, seed, number))}\n`);
}
