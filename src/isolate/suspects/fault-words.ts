import { linkKinds } from '../../guide/circuit/link-kinds.ts';
import type { Fault, FaultMode, Guide } from '../../guide/types.ts';

const modeWords: Record<FaultMode, string> = {
  open: 'open',
  high: 'with too much resistance',
  short: 'shorted',
  film: 'with a film on it',
  weak: 'with too little force',
  intermittent: 'that comes and goes',
  stuck: 'stuck closed',
  leaky: 'that leaks across',
  welded: 'that does not open any more',
};

/** Returns a fault in words: `spring contact 'contact-a' with a film on it`. */
export function faultWords(guide: Guide, { link, mode, node }: Fault): string {
  const kind = guide.links.find(({ id }) => id === link)?.kind;
  const what = kind === undefined ? 'link' : linkKinds[kind].text;
  return `${what} '${link}' ${modeWords[mode]}${node === undefined ? '' : ` to ${node}`}`;
}
