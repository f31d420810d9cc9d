import type { LocalClock } from '../../ports/local-clock.ts';

/** A clock that tells times as records hold them. */
export const utcClock: LocalClock = {
  zone: 'UTC',
  day: (iso) => iso.slice(0, 10),
  time: (iso) => iso.slice(0, 19).replace('T', ' '),
};

/** Returns a time to the minute, with its zone: `2031-05-17 11:03 Europe/Vienna`. */
export function clockTime(iso: string, clock: LocalClock = utcClock): string {
  return `${clock.time(iso).slice(0, 16)} ${clock.zone}`;
}
