// One part of the population: COUNT, and which part of how many. Prints what became of each device, one JSON line each.
import { checkKinds } from '../../../src/checks/registry.ts';
import { loadGuide } from '../../../src/guide/file/load.ts';
import { faultyDevice, healthyDevice, judgeDevice } from './population-device.ts';
import { guidePath, healthyEvery, inGuideOrderEvery, populationGuides } from './population-plan.ts';

const [count, part, parts] = process.argv.slice(2).map(Number) as [number, number, number];
const guides = await Promise.all(
  populationGuides.map(async (name) => (await loadGuide(guidePath(name), checkKinds)).guide),
);
for (let number = part; number < count; number += parts) {
  const guide = guides[number % guides.length]!;
  const judged = [await judgeDevice(faultyDevice(guide, number), number % inGuideOrderEvery === 0)];
  if (number % healthyEvery === 0) judged.push(await judgeDevice(healthyDevice(guide, number), false));
  for (const one of judged) process.stdout.write(`${JSON.stringify(one)}\n`);
}
