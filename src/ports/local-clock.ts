/** How a person's clock tells a time of a record, which is in UTC. */
export interface LocalClock {
  /** Name of the zone, such as `Europe/Vienna`. */
  zone: string;
  /** The day of a time (ISO 8601, UTC), as `2031-05-17`. */
  day(iso: string): string;
  /** The time of the day with it, as `2031-05-17 09:03:05`. */
  time(iso: string): string;
}
