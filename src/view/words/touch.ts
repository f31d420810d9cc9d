import type { Check, Guide } from '../../guide/types.ts';

/**
 * Returns what to touch: state of the device, the author's words, where each pad is, and what happens while
 * the tips stay on.
 */
export function touchLines(guide: Guide, check: Check): string[] {
  const access = guide.access.find(({ id }) => id === check.access);
  const place = (pad: string): string => {
    const where = guide.pads.find(({ id }) => id === pad)?.where ?? '';
    return where === '' ? pad : `${pad} (${where})`;
  };
  const pads = (check.pads ?? []).map((pad, i) => `Tip ${i === 0 ? 'A' : 'B'}: ${place(pad)}`);
  const state = `device ${check.power}${access === undefined ? '' : `, ${access.name}`}`;
  return [check.title, state, check.prompt, ...pads, ...dwellLines(check), ...stayLines(check)];
}

function dwellLines({ dwellMs }: Check): string[] {
  return dwellMs === undefined ? [] : [`Hold still for ${dwellMs / 1000} s.`];
}

function stayLines(check: Check): string[] {
  switch (check.kind) {
    case 'bridge':
      return [`Stay on: the probe itself joins the pads for ${check.durationMs} ms. Watch the device.`];
    case 'dry-normal':
      return ['Stay on until both levels are read.'];
    case 'steady':
      return [`Stay on: once it has settled, the device is flexed for ${holdText(check)}.`];
    case 'resistance':
    case 'voltage':
    case 'presses':
    case 'look':
      return [];
  }
}

/** Returns for how long a steady check is held. */
export function holdText(check: Check | undefined): string {
  return check?.kind === 'steady' ? `${check.holdMs / 1000} s` : 'a few seconds';
}
