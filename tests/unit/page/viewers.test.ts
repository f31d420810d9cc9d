import { describe, expect, test } from 'vitest';
import { type Panels, type UpdateStream, Viewers } from '../../../src/page/serve/viewers.ts';

/** A browser that takes what it is sent, until it hangs. */
class Browser implements UpdateStream {
  readonly got: Panels[] = [];
  hangs = false;

  send(panels: Panels): boolean {
    this.got.push(panels);
    return !this.hangs;
  }
}

describe('viewers', () => {
  test('a browser gets everything first, then only what changed', () => {
    const viewers = new Viewers();
    viewers.show({ ask: 'touch', reading: '1 ohm' });
    const browser = new Browser();
    viewers.add(browser);
    viewers.show({ ask: 'touch', reading: '2 ohm' });
    viewers.show({ ask: 'touch', reading: '2 ohm' });
    expect(browser.got).toEqual([{ ask: 'touch', reading: '1 ohm' }, { reading: '2 ohm' }]);
  });

  test('a browser that hangs is sent nothing more, and the newest once it is free', () => {
    const viewers = new Viewers();
    const [slow, quick] = [new Browser(), new Browser()];
    slow.hangs = true;
    viewers.add(slow);
    viewers.add(quick);
    for (let n = 1; n <= 1000; n++) viewers.show({ reading: `${n} ohm` });
    expect(slow.got).toEqual([{ reading: '1 ohm' }]);
    expect(quick.got).toHaveLength(1000);
    slow.hangs = false;
    viewers.free(slow);
    expect(slow.got.at(-1)).toEqual({ reading: '1000 ohm' });
    expect(slow.got).toHaveLength(2);
  });

  test('one that took all is sent nothing when it is free', () => {
    const viewers = new Viewers();
    const browser = new Browser();
    viewers.show({ ask: 'touch' });
    viewers.add(browser);
    viewers.free(browser);
    expect(browser.got).toHaveLength(1);
  });

  test('one that has gone gets nothing', () => {
    const viewers = new Viewers();
    const browser = new Browser();
    viewers.add(browser);
    viewers.remove(browser);
    viewers.show({ ask: 'touch' });
    viewers.free(browser);
    expect(browser.got).toEqual([]);
    expect(viewers.count).toBe(0);
  });
});
