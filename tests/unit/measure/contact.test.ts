import { describe, expect, it } from 'vitest';
import {
  type ContactState,
  capturePressed,
  contactStanding,
  defaultContactSettings,
  startContact,
  stepContact,
} from '../../../src/measure/contact.ts';
import { nominalCalibration } from '../../../src/measure/nominal.ts';
import type { ContactHappening, ContactSettings } from '../../../src/measure/types.ts';
import { flagBits } from '../../../src/protocol/table.ts';
import { airFlags, periodUs, Script, seatedFlags } from './batches.ts';

const open = Number.POSITIVE_INFINITY;
const voltSeated = flagBits.voltage | flagBits.seatA | flagBits.seatB;
const checkInput = flagBits.excitation | flagBits.auto | flagBits.inputHigh;

interface Run {
  state: ContactState;
  happenings: Exclude<ContactHappening, { kind: 'settling' }>[];
  progress: number[];
}

function run(script: Script, settings: Partial<ContactSettings> = {}, mustLift = false): Run {
  let state = startContact({ ...defaultContactSettings, ...settings }, nominalCalibration, mustLift);
  const happenings: Run['happenings'] = [];
  const progress: number[] = [];
  for (const batch of script.batches()) {
    const stepped = stepContact(state, batch);
    state = stepped.state;
    for (const happening of stepped.happenings) {
      if (happening.kind === 'settling') progress.push(happening.progress);
      else happenings.push(happening);
    }
  }
  return { state, happenings, progress };
}

function kinds({ happenings }: Run): string[] {
  return happenings.map(({ kind }) => kind);
}

function only<K extends ContactHappening['kind']>(
  { happenings }: Run,
  kind: K,
): Extract<ContactHappening, { kind: K }> {
  const found = happenings.filter((happening) => happening.kind === kind);
  expect(found).toHaveLength(1);
  return found[0] as unknown as Extract<ContactHappening, { kind: K }>;
}

/** Tips come down on a path of a few tenths of an ohm: the probe goes down through its ranges and drops a reading each time. */
function touchDown(script: Script, ohm = 0.43): Script {
  return script.air(50_000).ohm(periodUs, ohm, 4).gap(periodUs).ohm(periodUs, ohm, 2).gap(periodUs);
}

describe('a touch that settles', () => {
  const result = run(touchDown(new Script()).ohm(200_000, 0.43, 0).air(80_000));

  it('is made, captured once and lifted', () => {
    expect(kinds(result)).toEqual(['make', 'captured', 'lift']);
  });

  it('captures the last 24 ms of raw codes, all of one range', () => {
    const { window, tUs } = only(result, 'captured');
    expect(window.codes).toHaveLength(Math.round(24_000 / periodUs));
    expect(window).toMatchObject({ range: 0, level: 'normal', periodUs, flagBits: seatedFlags });
    expect(window.tUs + (window.codes.length - 1) * periodUs).toBe(tUs);
  });

  it('is captured window and dwell after the last change of range', () => {
    const make = only(result, 'make').tUs;
    const { tUs, contact } = only(result, 'captured');
    const rangesUs = 4 * periodUs;
    expect(tUs - make - rangesUs).toBeGreaterThanOrEqual(24_000 + 12_000 - 2 * periodUs);
    expect(tUs - make - rangesUs).toBeLessThanOrEqual(24_000 + 12_000 + 2 * periodUs);
    expect(contact).toMatchObject({ makes: 1, bounceUs: 0, seated: true });
    expect(contact.settleUs).toBeLessThanOrEqual(rangesUs + 24_000);
  });

  it('reads the resistance', () => {
    const { reading } = only(result, 'captured');
    expect(reading.state).toBe('in-range');
    expect(Math.abs(reading.value - 0.43 + nominalCalibration.leadOhm)).toBeLessThan(0.002);
  });

  it('tells progress from 0 to nearly 1', () => {
    expect(result.progress[0]).toBeLessThan(0.1);
    expect(result.progress.at(-1)).toBeGreaterThan(0.8);
    expect(Math.max(...result.progress)).toBeLessThanOrEqual(1);
  });

  it('lifts when the tips have been off for 30 ms, and ends the touch at the last contact', () => {
    const lift = only(result, 'lift');
    const make = only(result, 'make').tUs;
    expect(lift.contact.touchUs).toBe(
      200_000 - (200_000 % periodUs) + 4 * periodUs - periodUs + (lift.contact.touchUs % 1),
    );
    expect(lift.tUs - make - lift.contact.touchUs).toBeGreaterThanOrEqual(30_000);
    expect(lift.tUs - make - lift.contact.touchUs).toBeLessThanOrEqual(30_000 + 2 * periodUs);
  });
});

describe('bounce', () => {
  it('counts makes and the time to the last break, and captures after it', () => {
    const script = new Script().air(50_000);
    for (let i = 0; i < 3; i++) script.ohm(2 * periodUs, 1e5, 4).air(3 * periodUs);
    const result = run(script.ohm(150_000, 1e5, 4).air(60_000));
    expect(kinds(result)).toEqual(['make', 'captured', 'lift']);
    const { contact, window } = only(result, 'captured');
    expect(contact.makes).toBe(4);
    expect(contact.bounceUs).toBe(12 * periodUs);
    expect(window.tUs).toBeGreaterThanOrEqual(only(result, 'make').tUs + 15 * periodUs);
  });

  it('of the path alone, with seated tips, counts too', () => {
    const script = new Script()
      .air(50_000)
      .ohm(4 * periodUs, 1e5, 4)
      .ohm(3 * periodUs, open, 4)
      .ohm(150_000, 1e5, 4);
    const { contact } = only(run(script), 'captured');
    expect(contact.makes).toBe(2);
    expect(contact.bounceUs).toBe(4 * periodUs);
  });

  it('that leaves before it settles is a make and a lift, and nothing is captured', () => {
    const result = run(new Script().air(50_000).ohm(20_000, 1e5, 4).air(60_000));
    expect(kinds(result)).toEqual(['make', 'lift']);
    expect(only(result, 'lift').contact.settleUs).toBe(0);
  });

  it('a break shorter than a lift does not end the touch', () => {
    const result = run(new Script().air(50_000).ohm(20_000, 1e5, 4).air(25_000).ohm(100_000, 1e5, 4).air(60_000));
    expect(kinds(result)).toEqual(['make', 'captured', 'lift']);
  });
});

describe('a path that is open', () => {
  it('with both tips seated is a capture above range', () => {
    const result = run(new Script().air(50_000).ohm(100_000, open, 4).air(60_000));
    expect(kinds(result)).toEqual(['make', 'captured', 'lift']);
    expect(only(result, 'captured').reading).toMatchObject({ state: 'above-range', value: 10e6 });
  });

  it('with one tip seated is no contact', () => {
    expect(
      kinds(
        run(
          new Script()
            .air(50_000)
            .ohm(100_000, open, 4, airFlags | flagBits.seatA)
            .air(60_000),
        ),
      ),
    ).toEqual([]);
  });

  it('without seat sense is no contact, but the button may take it', () => {
    const result = run(new Script().air(200_000), { seatSense: false });
    expect(kinds(result)).toEqual([]);
    expect(capturePressed(result.state)!.codes).toHaveLength(27);
    expect(contactStanding(result.state)!.contact).toMatchObject({ touchUs: 0, seated: false });
  });

  it('on a lower range is not settled: the probe is about to change range', () => {
    const result = run(new Script().air(50_000).ohm(100_000, open, 1, seatedFlags));
    expect(kinds(result)).toEqual(['make', 'captured']);
    const closedFirst = run(
      new Script()
        .air(50_000)
        .ohm(5 * periodUs, 20, 1)
        .ohm(100_000, open, 1, seatedFlags),
    );
    expect(kinds(closedFirst)).toEqual(['make']);
  });

  it('in the air, through hours of noise, never makes or breaks', () => {
    expect(kinds(run(new Script(7).air(20_000_000), { seatSense: false }))).toEqual([]);
  });
});

it('without seat sense a closed path is contact', () => {
  const result = run(new Script().air(50_000).ohm(100_000, 5e5, 4, airFlags).air(60_000), { seatSense: false });
  expect(kinds(result)).toEqual(['make', 'captured', 'lift']);
  expect(only(result, 'captured').contact.seated).toBe(false);
});

describe('unsteady', () => {
  it('a resistance that keeps drifting, after 2 s, once', () => {
    const result = run(
      new Script()
        .air(50_000)
        .ohm(4_000_000, (us) => 20 * Math.exp(us / 5e5), 2)
        .air(60_000),
    );
    expect(kinds(result)).toEqual(['make', 'unsteady', 'lift']);
    const { tUs, contact, why, window } = only(result, 'unsteady');
    expect(tUs - only(result, 'make').tUs).toBeGreaterThanOrEqual(2_000_000);
    expect(contact.settleUs).toBe(0);
    expect(why).toContain('drifting');
    expect(window.codes).toHaveLength(27);
  });

  it('a contact that slips to and fro', () => {
    const result = run(
      new Script().air(50_000).ohm(2_300_000, (us) => (Math.floor(us / 12_000) % 2 === 0 ? 20 : 26), 1),
    );
    expect(kinds(result)).toEqual(['make', 'unsteady']);
  });

  it('a contact that keeps opening says how often it closed', () => {
    const script = new Script().air(50_000);
    for (let i = 0; i < 70; i++) script.ohm(25_000, 1e5, 4).ohm(5_000, open, 4);
    const result = run(script);
    expect(kinds(result)).toEqual(['make', 'unsteady']);
    expect(only(result, 'unsteady').why).toMatch(/closed \d+ times/);
  });

  it('settles into no capture afterwards: one touch has one outcome', () => {
    const script = new Script()
      .air(50_000)
      .ohm(2_300_000, (us) => 20 * Math.exp(us / 5e5), 2)
      .ohm(500_000, 100, 2);
    expect(kinds(run(script))).toEqual(['make', 'unsteady']);
  });
});

describe('a captured touch that is held', () => {
  const settled = () => touchDown(new Script()).ohm(100_000, 0.43, 0);

  it('and drops out is unsteady, with count and length', () => {
    const result = run(
      settled()
        .ohm(4 * periodUs, open, 0)
        .ohm(5 * periodUs, 0.43, 0)
        .ohm(2 * periodUs, open, 0)
        .ohm(300_000, 0.43, 0)
        .air(60_000),
    );
    expect(kinds(result)).toEqual(['make', 'captured', 'unsteady', 'lift']);
    expect(only(result, 'unsteady').contact.dropOuts).toMatchObject({
      count: 2,
      longestUs: 4 * periodUs,
      totalUs: 6 * periodUs,
    });
    expect(only(result, 'lift').contact.dropOuts.count).toBe(2);
  });

  it('and loses its seat for a moment is unsteady', () => {
    const result = run(
      settled()
        .ohm(3 * periodUs, 0.43, 0, seatedFlags & ~flagBits.seatB)
        .ohm(300_000, 0.43, 0),
    );
    expect(kinds(result)).toEqual(['make', 'captured', 'unsteady']);
    expect(only(result, 'unsteady').contact.dropOuts).toMatchObject({ count: 1, longestUs: 3 * periodUs });
  });

  it('and opens through the ranges for good is unsteady, not lifted', () => {
    const result = run(
      settled()
        .ohm(2 * periodUs, open, 0)
        .gap(periodUs)
        .ohm(2 * periodUs, open, 1)
        .gap(periodUs)
        .ohm(2 * periodUs, open, 2)
        .gap(periodUs)
        .ohm(2 * periodUs, open, 3)
        .gap(3 * periodUs)
        .ohm(400_000, open, 4),
    );
    expect(kinds(result)).toEqual(['make', 'captured', 'unsteady']);
    expect(only(result, 'unsteady').why).toContain('opened while held');
  });

  it('and wanders is unsteady, and says from where to where', () => {
    const result = run(settled().ohm(300_000, 0.62, 0));
    expect(kinds(result)).toEqual(['make', 'captured', 'unsteady']);
    expect(only(result, 'unsteady').why).toMatch(/moved from 0\.4[23]\d* ohm to 0\.6\d* ohm/);
  });

  it('and wanders to another range is unsteady', () => {
    expect(kinds(run(settled().gap(periodUs).ohm(300_000, 5, 1)))).toEqual(['make', 'captured', 'unsteady']);
  });

  it('but only changes range at the same resistance is steady', () => {
    const result = run(new Script().air(50_000).ohm(200_000, 0.9, 0).gap(periodUs).ohm(300_000, 0.9, 1));
    expect(kinds(result)).toEqual(['make', 'captured']);
  });

  it('and scrapes while it is lifted is steady', () => {
    const script = settled().ohm(20_000, (us) => 0.43 + us / 2e5, 0);
    for (let i = 0; i < 4; i++) script.ohm(2 * periodUs, 0.6, 0).air(2 * periodUs);
    expect(kinds(run(script.air(60_000)))).toEqual(['make', 'captured', 'lift']);
  });

  it('and stays is captured once, however long', () => {
    expect(kinds(run(touchDown(new Script(11)).ohm(20_000_000, 0.43, 0)))).toEqual(['make', 'captured']);
  });

  it('stays what it was when the host goes on to measure something else', () => {
    const script = settled().volt(300_000, 2.5, voltSeated);
    script.edges += 1;
    expect(kinds(run(script.ohm(300_000, 0.43, 0)))).toEqual(['make', 'captured']);
  });

  it('of a voltage is captured once, however long', () => {
    expect(kinds(run(new Script().volt(50_000, 0, flagBits.voltage).volt(3_000_000, 3.3, voltSeated)))).toEqual([
      'make',
      'captured',
    ]);
  });

  it('of a voltage that collapses is unsteady', () => {
    expect(
      kinds(
        run(
          new Script().volt(50_000, 0, flagBits.voltage).volt(200_000, 3.3, voltSeated).volt(300_000, 1.1, voltSeated),
        ),
      ),
    ).toEqual(['make', 'captured', 'unsteady']);
  });

  it('and closes after it was captured open is unsteady', () => {
    const result = run(new Script().air(50_000).ohm(100_000, open, 4).ohm(300_000, 1e6, 4));
    expect(kinds(result)).toEqual(['make', 'captured', 'unsteady']);
  });
});

describe('drop-outs shorter than a reading', () => {
  it('are counted at least, from the edge counter, and make a held touch unsteady', () => {
    const script = touchDown(new Script()).ohm(100_000, 0.43, 0);
    script.edges += 3;
    const result = run(script.ohm(300_000, 0.43, 0));
    expect(kinds(result)).toEqual(['make', 'captured', 'unsteady']);
    expect(only(result, 'unsteady').contact.dropOuts).toMatchObject({ count: 0, subReading: 3 });
    expect(only(result, 'unsteady').why).toContain('at least 3 times');
  });

  it('are counted beside those that readings show, across the wrap of the counter', () => {
    const script = new Script();
    script.edges = 65_534;
    touchDown(script).ohm(100_000, 0.43, 0);
    script.edges += 1;
    script.ohm(3 * periodUs, open, 0);
    script.edges += 2;
    const result = run(script.ohm(300_000, 0.43, 0));
    expect(only(result, 'unsteady').contact.dropOuts).toMatchObject({ count: 1, subReading: 2 });
  });

  it('inside a window keep it from settling', () => {
    const script = touchDown(new Script());
    for (let i = 0; i < 5; i++) {
      script.ohm(15_000, 0.43, 0);
      script.edges += 1;
    }
    const bounced = only(run(script.ohm(200_000, 0.43, 0)), 'captured');
    expect(bounced.tUs).toBeGreaterThan(1_000_000 + 50_000 + 75_000 + 30_000);
  });

  it('at the lift are none', () => {
    const script = touchDown(new Script()).ohm(100_000, 0.43, 0);
    script.edges += 2;
    const result = run(script.ohm(5 * periodUs, 0.43, 0).air(100_000));
    expect(kinds(result)).toEqual(['make', 'captured', 'lift']);
    expect(only(result, 'lift').contact.dropOuts.subReading).toBe(0);
  });
});

describe('gaps and clocks', () => {
  it('a gap voids the window', () => {
    const result = run(
      new Script()
        .air(50_000)
        .ohm(20_000, 1e5, 4)
        .gap(5 * periodUs)
        .ohm(100_000, 1e5, 4),
    );
    const { window } = only(result, 'captured');
    expect(window.tUs).toBeGreaterThanOrEqual(1_000_000 + 50_000 + 20_000);
  });

  it('a held touch stays held over a long gap: nobody saw it lift', () => {
    expect(kinds(run(new Script().air(50_000).ohm(100_000, 1e5, 4).gap(5_000_000).ohm(200_000, 1e5, 4)))).toEqual([
      'make',
      'captured',
    ]);
  });

  it('a probe that began its clock anew ends the touch; the tips must lift before the next counts', () => {
    const script = new Script().air(50_000).ohm(100_000, 1e5, 4);
    script.tUs = 500;
    const result = run(script.ohm(200_000, 1e5, 4).air(60_000).ohm(100_000, 1e5, 4));
    expect(kinds(result)).toEqual(['make', 'captured', 'lift', 'make', 'lift', 'make', 'captured']);
  });

  it('another reading rate has a window of as long a time', () => {
    const script = new Script();
    script.periodUs = 442;
    expect(only(run(script.air(50_000).ohm(100_000, 1e5, 4)), 'captured').window.codes).toHaveLength(54);
  });

  it('times far beyond 32 bits are times', () => {
    expect(
      kinds(
        run(
          touchDown(new Script(1, 2 ** 40))
            .ohm(100_000, 0.43, 0)
            .air(50_000),
        ),
      ),
    ).toEqual(['make', 'captured', 'lift']);
  });
});

describe('live', () => {
  it('is told when a voltage drops the source, and nothing is captured meanwhile', () => {
    const live = voltSeated | flagBits.live;
    const result = run(
      new Script().air(50_000).ohm(10_000, 1e5, 4).volt(300_000, 3.7, live).volt(20_000, 0, flagBits.voltage),
    );
    expect(kinds(result)).toEqual(['make', 'live', 'live']);
    expect(result.happenings.map((happening) => (happening.kind === 'live' ? happening.on : null))).toEqual([
      null,
      true,
      false,
    ]);
  });

  it('is no news in voltage mode: a voltage is what is looked for', () => {
    const result = run(
      new Script()
        .volt(50_000, 0, flagBits.voltage)
        .volt(100_000, 3.7, voltSeated | flagBits.live)
        .volt(60_000, 0, flagBits.voltage),
    );
    expect(kinds(result)).toEqual(['make', 'captured', 'lift']);
  });

  it('does not count against settling', () => {
    const result = run(
      new Script()
        .air(50_000)
        .ohm(10_000, 1e5, 4)
        .volt(3_000_000, 3.7, voltSeated | flagBits.live)
        .ohm(100_000, 1e5, 4),
    );
    expect(kinds(result)).toEqual(['make', 'live', 'live', 'captured']);
  });
});

describe('voltage', () => {
  it('settles with seated tips, of either sign', () => {
    const result = run(new Script().volt(50_000, 0, flagBits.voltage).volt(100_000, -1.8, voltSeated));
    expect(only(result, 'captured').reading).toMatchObject({ quantity: 'voltage', state: 'in-range' });
    expect(Math.abs(only(result, 'captured').reading.value + 1.8)).toBeLessThan(0.02);
  });

  it('of zero with seated tips is a capture', () => {
    expect(kinds(run(new Script().volt(50_000, 0, flagBits.voltage).volt(100_000, 0, voltSeated)))).toEqual([
      'make',
      'captured',
    ]);
  });

  it('without seat sense makes contact by its size', () => {
    const result = run(
      new Script()
        .volt(50_000, 0, flagBits.voltage)
        .volt(100_000, 3.3, flagBits.voltage)
        .volt(60_000, 0, flagBits.voltage),
      {
        seatSense: false,
      },
    );
    expect(kinds(result)).toEqual(['make', 'captured', 'lift']);
  });
});

describe("the probe's own inputs", () => {
  it('are captured without any tip touching', () => {
    const result = run(new Script().air(50_000).ohm(100_000, 100, 2, checkInput).air(60_000));
    expect(kinds(result)).toEqual(['make', 'captured', 'lift']);
    expect(only(result, 'captured').reading.value).toBeCloseTo(100, 0);
  });

  it('leave tips that touch afterwards uncounted until they lift', () => {
    const result = run(
      new Script().air(20_000).ohm(100_000, 100, 2, checkInput).ohm(200_000, 0.1, 1).air(60_000).ohm(100_000, 1e5, 4),
    );
    expect(kinds(result)).toEqual(['make', 'captured', 'lift', 'make', 'lift', 'make', 'captured']);
  });
});

it('tips that stand on the pads at the start must lift first, if so asked', () => {
  const script = () => new Script().ohm(200_000, 1e5, 4).air(60_000).ohm(100_000, 1e5, 4);
  expect(kinds(run(script(), {}, true))).toEqual(['make', 'lift', 'make', 'captured']);
  expect(kinds(run(script()))).toEqual(['make', 'captured', 'lift', 'make', 'captured']);
});

it('a range that the calibration does not hold never settles, and says why', () => {
  const cut = { ...nominalCalibration, ranges: nominalCalibration.ranges.filter((entry) => entry.range !== 3) };
  let state = startContact(defaultContactSettings, cut);
  const whys: string[] = [];
  for (const batch of new Script().air(50_000).ohm(2_100_000, 1e4, 3).batches()) {
    const stepped = stepContact(state, batch);
    state = stepped.state;
    for (const happening of stepped.happenings) if (happening.kind === 'unsteady') whys.push(happening.why);
  }
  expect(whys).toEqual([expect.stringContaining('does not hold this range')]);
});

it('nothing to press for before the first reading', () => {
  expect(capturePressed(startContact(defaultContactSettings, nominalCalibration))).toBeNull();
});
