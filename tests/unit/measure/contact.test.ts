import { describe, expect, test } from 'vitest';
import { defaultContactSettings } from '../../../src/measure/contact/contact-settings.ts';
import { ContactTracker, startContact } from '../../../src/measure/contact/contact-tracker.ts';
import { nominalCalibration } from '../../../src/measure/reading/nominal.ts';
import { flagBits } from '../../../src/protocol/table.ts';
import { airFlags, periodUs, Script, seatedFlags } from '../../support/probe-stream.ts';
import { kinds, only, open, run, touchDown } from './contact-run.ts';

describe('a touch that settles', () => {
  const result = run(touchDown(new Script()).ohm(200_000, 0.43, 0).air(80_000));

  test('is made, captured once and lifted', () => {
    expect(kinds(result)).toEqual(['make', 'captured', 'lift']);
  });

  test('captures the last 24 ms of raw codes, all of one range', () => {
    const { window, tUs } = only(result, 'captured');
    expect(window.codes).toHaveLength(Math.round(24_000 / periodUs));
    expect(window).toMatchObject({ range: 0, level: 'normal', periodUs, flagBits: seatedFlags });
    expect(window.tUs + (window.codes.length - 1) * periodUs).toBe(tUs);
  });

  test('is captured window and dwell after the last change of range', () => {
    const make = only(result, 'make').tUs;
    const { tUs, contact } = only(result, 'captured');
    const rangesUs = 4 * periodUs;
    expect(tUs - make - rangesUs).toBeGreaterThanOrEqual(24_000 + 12_000 - 2 * periodUs);
    expect(tUs - make - rangesUs).toBeLessThanOrEqual(24_000 + 12_000 + 2 * periodUs);
    expect(contact).toMatchObject({ makes: 1, bounceUs: 0, seated: true });
    expect(contact.settleUs).toBeLessThanOrEqual(rangesUs + 24_000);
  });

  test('reads the resistance', () => {
    const { reading } = only(result, 'captured');
    expect(reading.state).toBe('in-range');
    expect(Math.abs(reading.value - 0.43 + nominalCalibration.leadOhm)).toBeLessThan(0.002);
  });

  test('tells progress from 0 to nearly 1', () => {
    expect(result.progress[0]).toBeLessThan(0.1);
    expect(result.progress.at(-1)).toBeGreaterThan(0.8);
    expect(Math.max(...result.progress)).toBeLessThanOrEqual(1);
  });

  test('lifts when the tips have been off for 30 ms, and ends the touch at the last contact', () => {
    const lift = only(result, 'lift');
    const make = only(result, 'make').tUs;
    // from the first reading with contact to the last: the ranges on the way down, then 226 readings of 884 us
    expect(lift.contact.touchUs).toBe((4 + Math.round(200_000 / periodUs) - 1) * periodUs);
    expect(lift.tUs - make - lift.contact.touchUs).toBeGreaterThanOrEqual(30_000);
    expect(lift.tUs - make - lift.contact.touchUs).toBeLessThanOrEqual(30_000 + 2 * periodUs);
  });
});

describe('bounce', () => {
  test('counts makes and the time to the last break, and captures after it', () => {
    const script = new Script().air(50_000);
    for (let i = 0; i < 3; i++) script.ohm(2 * periodUs, 1e5, 4).air(3 * periodUs);
    const result = run(script.ohm(150_000, 1e5, 4).air(60_000));
    expect(kinds(result)).toEqual(['make', 'captured', 'lift']);
    const { contact, window } = only(result, 'captured');
    expect(contact.makes).toBe(4);
    expect(contact.bounceUs).toBe(12 * periodUs);
    expect(window.tUs).toBeGreaterThanOrEqual(only(result, 'make').tUs + 15 * periodUs);
  });

  test('of the path alone, with seated tips, counts too', () => {
    const script = new Script()
      .air(50_000)
      .ohm(4 * periodUs, 1e5, 4)
      .ohm(3 * periodUs, open, 4)
      .ohm(150_000, 1e5, 4);
    const { contact } = only(run(script), 'captured');
    expect(contact.makes).toBe(2);
    expect(contact.bounceUs).toBe(4 * periodUs);
  });

  test('that leaves before it settles is a make and a lift, and nothing is captured', () => {
    const result = run(new Script().air(50_000).ohm(20_000, 1e5, 4).air(60_000));
    expect(kinds(result)).toEqual(['make', 'lift']);
    expect(only(result, 'lift').contact.settleUs).toBe(0);
  });

  test('a break shorter than a lift does not end the touch', () => {
    const result = run(new Script().air(50_000).ohm(20_000, 1e5, 4).air(25_000).ohm(100_000, 1e5, 4).air(60_000));
    expect(kinds(result)).toEqual(['make', 'captured', 'lift']);
  });
});

describe('a path that is open', () => {
  test('with both tips seated is a capture above range', () => {
    const result = run(new Script().air(50_000).ohm(100_000, open, 4).air(60_000));
    expect(kinds(result)).toEqual(['make', 'captured', 'lift']);
    expect(only(result, 'captured').reading).toMatchObject({ state: 'above-range', value: 10e6 });
  });

  test('with one tip seated is no contact', () => {
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

  test('without seat sense is no contact, but the button may take it', () => {
    const result = run(new Script().air(200_000), { seatSense: false });
    expect(kinds(result)).toEqual([]);
    const standing = new ContactTracker(result.state).standing()!;
    expect(standing.window.codes).toHaveLength(27);
    expect(standing.contact).toMatchObject({ touchUs: 0, seated: false });
  });

  test('on a lower range is not settled: the probe is about to change range', () => {
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

  test('in the air, through hours of noise, never makes or breaks', () => {
    expect(kinds(run(new Script(7).air(20_000_000), { seatSense: false }))).toEqual([]);
  });
});

test('without seat sense a closed path is contact', () => {
  const result = run(new Script().air(50_000).ohm(100_000, 5e5, 4, airFlags).air(60_000), { seatSense: false });
  expect(kinds(result)).toEqual(['make', 'captured', 'lift']);
  expect(only(result, 'captured').contact.seated).toBe(false);
});

describe('unsteady', () => {
  test('a resistance that keeps drifting, after 2 s, once', () => {
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

  test('a contact that slips to and fro', () => {
    const result = run(
      new Script().air(50_000).ohm(2_300_000, (us) => (Math.floor(us / 12_000) % 2 === 0 ? 20 : 26), 1),
    );
    expect(kinds(result)).toEqual(['make', 'unsteady']);
  });

  test('a contact that keeps opening says how often it closed', () => {
    const script = new Script().air(50_000);
    for (let i = 0; i < 70; i++) script.ohm(25_000, 1e5, 4).ohm(5_000, open, 4);
    const result = run(script);
    expect(kinds(result)).toEqual(['make', 'unsteady']);
    const { contact, why } = only(result, 'unsteady');
    // one closure each 30 ms, until the 2 s are over in which a touch must settle
    expect(contact.makes).toBe(Math.ceil(2_000_000 / 30_000));
    expect(why).toContain(` ${contact.makes} `);
  });

  test('settles into no capture afterwards: one touch has one outcome', () => {
    const script = new Script()
      .air(50_000)
      .ohm(2_300_000, (us) => 20 * Math.exp(us / 5e5), 2)
      .ohm(500_000, 100, 2);
    expect(kinds(run(script))).toEqual(['make', 'unsteady']);
  });
});

test('tips that stand on the pads at the start must lift first, if so asked', () => {
  const script = () => new Script().ohm(200_000, 1e5, 4).air(60_000).ohm(100_000, 1e5, 4);
  expect(kinds(run(script(), {}, true))).toEqual(['make', 'lift', 'make', 'captured']);
  expect(kinds(run(script()))).toEqual(['make', 'captured', 'lift', 'make', 'captured']);
});

test('a range that the calibration does not hold never settles, and says why', () => {
  const cut = { ...nominalCalibration, ranges: nominalCalibration.ranges.filter((entry) => entry.range !== 3) };
  const tracker = new ContactTracker(startContact(defaultContactSettings, cut));
  const whys: string[] = [];
  for (const batch of new Script().air(50_000).ohm(2_100_000, 1e4, 3).batches()) {
    for (const contactEvent of tracker.push(batch)) if (contactEvent.kind === 'unsteady') whys.push(contactEvent.why);
  }
  expect(whys).toEqual([expect.stringContaining('does not hold this range')]);
});

test('nothing to press for before the first reading', () => {
  expect(new ContactTracker(startContact(defaultContactSettings, nominalCalibration)).standing()).toBeNull();
});
