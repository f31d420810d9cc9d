// The simulator's front end against a SPICE engine (ngspice as WebAssembly, npm eecircuit-engine) that reads the hardware's own netlist.
import { readFileSync } from 'node:fs';
import { Simulation } from 'eecircuit-engine';
import { beforeAll, describe, expect, test } from 'vitest';
import { amplify, settle, shiftTipVolt } from '../../sim/hands/settled.ts';
import type { Controls } from '../../sim/probe/controls.ts';
import { nominalParts } from '../../sim/probe/front-end-parts.ts';
import { randomOf } from '../../sim/random.ts';

const netlist = readFileSync(new URL('../../firmware-protocol/front-end.cir', import.meta.url), 'utf8');
/** A tenth of a converter code. */
const tolerableVolt = 0.1 * (5 / 1024);

interface Case {
  source: 0 | 1 | 2 | 3;
  highGain: boolean;
  dry: boolean;
  excitation: boolean;
  bridge: boolean;
  deviceOhm: number;
  foreignVolt: number;
  foreignOhm: number;
}

const spice = new Simulation();
beforeAll(() => spice.start());

function withParameters(values: Readonly<Record<string, number>>): string {
  return Object.entries(values).reduce((text, [name, value]) => {
    const line = new RegExp(`^\\.param ${name}=.*$`, 'm');
    if (!line.test(text)) throw new Error(`the netlist has no parameter ${name}`);
    return text.replace(line, `.param ${name}=${value}`);
  }, netlist);
}

function parameter(name: string): number {
  const match = new RegExp(`^\\.param ${name}=([0-9.]+)(meg|k|m)?$`, 'm').exec(netlist);
  if (match === null) throw new Error(`the netlist has no parameter ${name}`);
  return Number(match[1]) * { meg: 1e6, k: 1e3, m: 1e-3, '': 1 }[(match[2] ?? '') as 'meg']!;
}

async function inSpice(one: Case): Promise<{ sense: number; tips: number }> {
  spice.setNetList(
    withParameters({
      rsource: nominalParts.sourceOhm[one.source],
      gain: one.highGain ? 200 : 20,
      vopen: one.dry ? 0.02 : 0.2,
      rdut: one.deviceOhm,
      vforeign: one.foreignVolt,
      rforeign: one.foreignOhm,
      excited: one.excitation ? 1 : 0,
      bridged: one.bridge ? 1 : 0,
    }),
  );
  const result = await spice.runSim();
  const volt = (name: string): number => {
    const found = result.data.find((each) => each.name === name);
    const value = found?.values[0];
    if (typeof value !== 'number') throw new Error(`SPICE gave no ${name}`);
    return value;
  };
  return { sense: volt('v(adc_sense)'), tips: volt('v(adc_tips)') };
}

function inModel(one: Case): { sense: number; tips: number } {
  const leadOhm = parameter('rlead');
  const parts = { ...nominalParts, switchOhm: parameter('rswitch') };
  const controls: Controls = { ...one, input: 0, seatStrobe: false };
  // device, foreign source and bridge as one voltage behind one resistance (Thevenin, Millman)
  const branches = [
    { volt: 0, ohm: one.deviceOhm },
    { volt: one.foreignVolt, ohm: one.foreignOhm },
    ...(one.bridge ? [{ volt: 0, ohm: parts.bridgeOhm + 2 * leadOhm }] : []),
  ];
  const siemens = branches.reduce((sum, each) => sum + 1 / each.ohm, 0);
  const openVolt = branches.reduce((sum, each) => sum + each.volt / each.ohm, 0) / siemens;
  const tips = { openVolt, sourceOhm: 1 / siemens, forceOhm: 2 * leadOhm, seatA: true, seatB: true };
  const { senseVolt, tipVolt } = settle(parts, controls, tips);
  return { sense: amplify(parts, controls, senseVolt), tips: shiftTipVolt(parts, tipVolt) };
}

const random = randomOf(20, 'spice cases');
const pick = (): Case => {
  const dry = random.uniform() < 0.3;
  const source = random.integer(0, 3) as Case['source'];
  return {
    source,
    dry,
    highGain: dry || (source === 0 && random.uniform() < 0.5),
    excitation: true,
    bridge: false,
    deviceOhm: 10 ** (-2.3 + 9.3 * random.uniform()),
    foreignVolt: 0,
    foreignOhm: 1e15,
  };
};

describe('front end against SPICE', () => {
  test('resistances of 5 mohm to 10 Mohm on every range and level', async () => {
    for (let i = 0; i < 40; i++) {
      const one = pick();
      const [model, reference] = [inModel(one), await inSpice(one)];
      expect(Math.abs(model.sense - reference.sense), JSON.stringify(one)).toBeLessThan(tolerableVolt);
      expect(Math.abs(model.tips - reference.tips), JSON.stringify(one)).toBeLessThan(tolerableVolt);
    }
  });

  test('open tips, excited and not', async () => {
    for (const source of [0, 1, 2, 3] as const)
      for (const excitation of [true, false]) {
        const one: Case = { ...pick(), source, excitation, dry: false, highGain: false, deviceOhm: 1e14 };
        const [model, reference] = [inModel(one), await inSpice(one)];
        expect(Math.abs(model.sense - reference.sense), JSON.stringify(one)).toBeLessThan(tolerableVolt);
        expect(Math.abs(model.tips - reference.tips), JSON.stringify(one)).toBeLessThan(tolerableVolt);
      }
  });

  test('a foreign voltage, with the source on, off, and with the bridge closed', async () => {
    for (let i = 0; i < 30; i++) {
      const bridge = i % 3 === 2;
      const one: Case = {
        ...pick(),
        excitation: i % 3 === 0,
        bridge,
        deviceOhm: 10 ** (1 + 5 * random.uniform()),
        foreignVolt: -5 + 10 * random.uniform(),
        foreignOhm: 10 ** (1 + 4 * random.uniform()),
      };
      const [model, reference] = [inModel(one), await inSpice(one)];
      expect(Math.abs(model.sense - reference.sense), JSON.stringify(one)).toBeLessThan(tolerableVolt);
      expect(Math.abs(model.tips - reference.tips), JSON.stringify(one)).toBeLessThan(tolerableVolt);
    }
  });
});
