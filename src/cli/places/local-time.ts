import type { Terminal } from '../../faces/screen/terminal/terminal.ts';
import type { LocalClock } from '../../ports/local-clock.ts';

const clocks = new Map<string, LocalClock>();

/** Returns the clock of the zone that TZ names, else of the system's. */
export function localClock({ env }: Pick<Terminal, 'env'>): LocalClock {
  const asked = env.TZ ?? '';
  const known = clocks.get(asked);
  if (known !== undefined) return known;
  const clock = clockOf(asked);
  clocks.set(asked, clock);
  return clock;
}

function clockOf(asked: string): LocalClock {
  const format = formatOf(asked) ?? formatOf('')!;
  const time = (iso: string): string => {
    const part = Object.fromEntries(format.formatToParts(new Date(iso)).map(({ type, value }) => [type, value]));
    return `${part.year}-${part.month}-${part.day} ${part.hour}:${part.minute}:${part.second}`;
  };
  const { timeZone } = format.resolvedOptions();
  return { zone: timeZone, time, day: (iso) => time(iso).slice(0, 10) };
}

/** Null for a zone that is not known: TZ may hold rules in place of a name. */
function formatOf(zone: string): Intl.DateTimeFormat | null {
  try {
    return new Intl.DateTimeFormat('en-US', {
      calendar: 'iso8601',
      numberingSystem: 'latn',
      hourCycle: 'h23',
      year: 'numeric',
      month: '2-digit',
      day: '2-digit',
      hour: '2-digit',
      minute: '2-digit',
      second: '2-digit',
      ...(zone === '' ? {} : { timeZone: zone }),
    });
  } catch {
    return null;
  }
}
