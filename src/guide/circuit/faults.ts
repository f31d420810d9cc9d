import { didYouMean } from '../file/near.ts';
import { parseQuantity } from '../file/quantity.ts';
import type { Fault, FaultMode, Guide, Level, Link } from '../types.ts';
import { canFail, faultModes, linkKinds } from './link-kinds.ts';

/**
 * What a gap reads: 1 Gohm stands for the surface of a clean board. A link of this or more conducts
 * nothing.
 */
export const openOhm = 1e9;
/** Added by `high` when it gives no ohms. */
const highOhm = 100;
/** Of a `short`, from the link's `from` node, when it gives no ohms. */
export const shortOhm = 0.1;
/**
 * Added by a `film` that the voltage across it doesn't break (dry level), when it gives no ohms.
 */
export const filmDryOhm = 20_000;
/** Added by a film once it is broken through: a film is never as good as clean metal again. */
export const filmBrokenOhm = 20;
/**
 * Voltage across a film at which it breaks through, between the dry level's 20 mV and the normal
 * level's 200 mV.
 *
 * Films break at some tens of millivolts to volts (common practice, no source); this one stands for
 * the thin ones.
 */
export const filmBreakdownVolt = 0.03;
/** Added on average by a `weak` spring, when it gives no ohms; the reading wanders about it. */
const weakOhm = 3;

/** Across a switch that leaks, when it gives no ohms; another link leaks by half of its own. */
const leakyOhm = 10_000;

const takesOhm: readonly FaultMode[] = ['high', 'film', 'weak', 'leaky'];

/**
 * Returns the resistance of a link with a fault, in ohm.
 *
 * A `short` leaves the link itself as it was (it adds an element), `intermittent` is the link in
 * its good moments, and `stuck` is the closed switch; whether that one is closed at all is the
 * circuit's affair. `leaky` has its ohms across the link, which may be open.
 *
 * @param baseOhm the link's own resistance in this device; default: the nominal one
 */
export function faultLinkOhm(link: Link, fault: Fault, level: Level, baseOhm: number = link.ohm): number {
  switch (fault.mode) {
    case 'open':
      return openOhm;
    case 'high':
      return Math.min(openOhm, baseOhm + (fault.ohm ?? highOhm));
    case 'film': {
      const dry = fault.ohm ?? filmDryOhm;
      return Math.min(openOhm, baseOhm + (level === 'dry' ? dry : Math.min(dry, filmBrokenOhm)));
    }
    case 'weak':
      return Math.min(openOhm, baseOhm + (fault.ohm ?? weakOhm));
    case 'leaky':
      return across(baseOhm, fault.ohm ?? (link.kind === 'switch' ? leakyOhm : link.ohm / 2));
    case 'short':
    case 'intermittent':
    case 'welded':
    case 'stuck':
      return baseOhm;
  }
}

function across(baseOhm: number, otherOhm: number): number {
  return baseOhm >= openOhm ? Math.min(openOhm, otherOhm) : (baseOhm * otherOhm) / (baseOhm + otherOhm);
}

/**
 * Returns the fault that a text like `spring-a=high:47ohm` names, or a sentence on why it names
 * none.
 *
 * Forms: LINK=open, LINK=high[:OHM], LINK=short:NODE, LINK=film[:OHM], LINK=weak[:OHM],
 * LINK=intermittent, LINK=stuck, LINK=leaky[:OHM], LINK=welded.
 */
export function parseFault(text: string, guide: Guide): { ok: true; fault: Fault } | { ok: false; what: string } {
  const refuse = (what: string) => ({ ok: false as const, what });
  const match = /^\s*([^=\s]+)\s*=\s*([^:=\s]+)\s*(?::\s*(.*?)\s*)?$/.exec(text);
  if (match === null) return refuse(`'${text}' is not a fault; write LINK=MODE, as in ${exampleFault(guide)}`);
  const [, linkId, modeText, rest] = match as unknown as [string, string, string, string | undefined];
  const link = guide.links.find((one) => one.id === linkId);
  if (link === undefined) {
    return refuse(
      `guide '${guide.id}' has no link '${linkId}'${didYouMean(
        linkId,
        guide.links.map((one) => one.id),
      )}`,
    );
  }
  const mode = faultModes.find((one) => one === modeText);
  if (mode === undefined) {
    return refuse(`'${modeText}' is no way for a link to fail; known are ${faultModes.join(', ')}`);
  }
  if (!canFail(link.kind, mode)) {
    const { text: kindText, modes } = linkKinds[link.kind];
    return refuse(`link '${link.id}' is a ${kindText}, which can be ${modes.join(', ')}, but not ${mode}`);
  }
  if (mode === 'welded' && link.normally !== 'closed') {
    return refuse(`link '${link.id}' is open while nobody presses: write ${link.id}=stuck`);
  }
  if (mode === 'short') {
    if (rest === undefined || rest === '') return refuse(`a short needs its other end: write ${link.id}=short:NODE`);
    if (!guide.nodes.includes(rest)) {
      return refuse(`guide '${guide.id}' has no node '${rest}'${didYouMean(rest, guide.nodes)}`);
    }
    if (rest === link.from) return refuse(`link '${link.id}' begins at '${rest}': a short needs another node`);
    return { ok: true, fault: { link: link.id, mode, node: rest } };
  }
  if (rest === undefined) return { ok: true, fault: { link: link.id, mode } };
  if (!takesOhm.includes(mode)) return refuse(`'${mode}' takes no value: write ${link.id}=${mode}`);
  const quantity = parseQuantity(rest, 'ohm');
  if (!quantity.ok || quantity.value <= 0) {
    return refuse(`'${rest}' is not a resistance above 0; write it with its unit, as in ${link.id}=${mode}:47ohm`);
  }
  return { ok: true, fault: { link: link.id, mode, ohm: quantity.value } };
}

/** Returns a fault as it is typed: `spring-a=high:47ohm`. */
export function faultText(fault: Fault): string {
  if (fault.mode === 'short') return `${fault.link}=short:${fault.node}`;
  return `${fault.link}=${fault.mode}${fault.ohm === undefined ? '' : `:${fault.ohm}ohm`}`;
}

function exampleFault(guide: Guide): string {
  return `${guide.links[0]?.id ?? 'LINK'}=open`;
}
