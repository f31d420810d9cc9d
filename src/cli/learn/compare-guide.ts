import { stringify } from 'yaml';
import { parseGuide } from '../../checks/guides.ts';
import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { standardCautions } from '../../guide/short/standard-cautions.ts';
import type { Guide } from '../../guide/types.ts';

/** Two pads of the good unit, and the two that answer to them on the bad one. */
export interface ComparedPads {
  id: string;
  good: [string, string];
  bad: [string, string];
}

/**
 * Returns the pads that texts like `K1,K2`, or `K1,K2=K3,K4` for two keys, name.
 *
 * @throws usage.compare
 */
export function comparedPads(texts: readonly string[]): ComparedPads[] {
  if (texts.length === 0) throw usage('Nothing says which pads to compare.', 'Name them: --pads K1,K2 --pads S1,J1');
  const pairs = texts.map((text) => {
    const [good, bad = good] = text.split('=').map((side) => side.split(',').map((pad) => pad.trim()));
    const sides = [good!, bad!];
    const isPair = sides.every(
      (side) => side.length === 2 && side[0] !== side[1] && side.every((pad) => padForm.test(pad)),
    );
    if (!isPair || text.split('=').length > 2) {
      throw usage(`--pads ${text} names no two pads.`, 'Write --pads K1,K2, or for two keys --pads K1,K2=K3,K4.');
    }
    return {
      id: [...good!, ...(bad === good ? [] : bad!)].join('-'),
      good: good as [string, string],
      bad: bad as [string, string],
    };
  });
  const twice = pairs.find(({ id }, at) => pairs.findIndex((one) => one.id === id) < at);
  if (twice !== undefined)
    throw usage(`--pads ${twice.id.replaceAll('-', ',')} is there twice.`, 'Name each pair once.');
  return pairs;
}

const padForm = /^[A-Za-z0-9][A-Za-z0-9_.+]*$/;

/**
 * Returns the guide by which one of two units is read: no circuit is known, so each pair of pads has
 * a link that stands for whatever lies between, and limits that let every value through.
 */
export function compareGuide(
  pairs: readonly ComparedPads[],
  side: 'good' | 'bad',
  held?: string,
): { guide: Guide; text: string } {
  const pads = [...new Set(pairs.flatMap((pair) => pair[side]))];
  const between = pairs.map((pair, at) => {
    const [from, to] = pair[side];
    const kind = held !== undefined && at === 0 ? 'switch' : 'trace';
    return { id: `between-${pair.id}`, from, to, kind, ohm: '1 ohm', spread: '100 %', unit: 'device' };
  });
  const pressed = held === undefined ? {} : { pressed: [held] };
  const hold = held === undefined ? '' : `Hold down ${held}. `;
  const data = {
    guide: 1,
    id: `compare-${side}`,
    title: `Two units compared: the ${side} one`,
    device: { maker: 'not told', name: 'not told', kind: 'device without a guide' },
    revisions: { holds: ['any'] },
    cautions: standardCautions,
    units: [{ id: 'device', name: 'device' }],
    nodes: pads,
    pads: pads.map((pad) => ({ id: pad, node: pad, where: pad })),
    links: between,
    ...(held === undefined ? {} : { keys: [{ id: held, name: held, link: between[0]!.id }] }),
    checks: pairs.map((pair) => ({
      id: pair.id,
      kind: 'dry-normal',
      title: pair[side].join(' to '),
      pads: pair[side],
      limits: 'min -1 ohm',
      ...pressed,
      prompt: `${hold}On the ${side} one touch ${pair[side].join(' and ')}, and stay on until both levels are taken.`,
    })),
  };
  const text = `# Made by compare. No circuit is known: each link stands for whatever lies between two pads.\n${stringify(data, { aliasDuplicateObjects: false })}`;
  const parsed = parseGuide(text, 'the pads to compare');
  if (!parsed.ok) throw usage(parsed.problems[0]!.what, 'Name other pads or keys.');
  return { guide: parsed.guide, text };
}

function usage(message: string, help: string): OhmwrightError {
  return new OhmwrightError('usage.compare', message, { help });
}
