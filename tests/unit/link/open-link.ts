import type { LinkOptions } from '../../../src/link/probe/link-options.ts';
import { type LinkItem, ProbeLink } from '../../../src/link/probe/probe-link.ts';
import { ManualTimers, settle } from './manual-timers.ts';
import { ScriptedProbe } from './scripted-probe.ts';

/** A link to a scripted probe, connected, with the items that it has told so far. */
export interface OpenLink {
  link: ProbeLink;
  probe: ScriptedProbe;
  timers: ManualTimers;
  items: LinkItem[];
  /** What was told, in words: `gap sequence` and so on. */
  told(): string[];
}

/** Returns a connected link; `prepare` sets the probe before that. */
export async function openLink(
  options: Partial<LinkOptions> = {},
  prepare: (probe: ScriptedProbe) => void = () => undefined,
): Promise<OpenLink> {
  const probe = new ScriptedProbe();
  const timers = new ManualTimers();
  const items: LinkItem[] = [];
  prepare(probe);
  const link = await ProbeLink.connect(probe.source, { onItem: (item) => items.push(item), timers, ...options });
  return { link, probe, timers, items, told: () => items.map(wordsOf) };
}

/** Returns a connected link that streams readings. */
export async function streamingLink(options: Partial<LinkOptions> = {}): Promise<OpenLink> {
  const open = await openLink(options);
  await open.link.request({ type: 'start', rate: 'standard', batch: 8 });
  open.items.length = 0;
  return open;
}

/** Returns the kind of an item, and of a gap or an event which. */
export function wordsOf(item: LinkItem): string {
  if (item.kind === 'gap') return `gap ${item.cause} ${item.missing}`;
  return item.kind === 'event' ? `event ${item.name}` : item.kind;
}

/** Connects to a probe that can't be connected to, lets `ms` pass, and returns the error. */
export async function failingConnect(
  probe: ScriptedProbe,
  ms: number,
  options: Partial<LinkOptions> = {},
): Promise<unknown> {
  const timers = new ManualTimers();
  const outcome = ProbeLink.connect(probe.source, { onItem: () => undefined, timers, ...options }).then(
    () => null,
    (error: unknown) => error,
  );
  await timers.pass(ms);
  await settle();
  return await outcome;
}
