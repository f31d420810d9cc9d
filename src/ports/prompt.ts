/** What the person (or the simulator's hands) is asked to do next. */
export interface Prompt {
  /** Unique within a session; answers name it. */
  id: string;
  act: 'touch' | 'lift' | 'short-tips' | 'press' | 'flex' | 'power' | 'answer' | 'wait' | 'choose' | 'repair';
  /** What to do, for a person; the first line says what it is about. */
  text: string;
  /** Pads to touch: [tip A, tip B]. */
  pads?: [string, string];
  /** Keys of the device to hold down, or to press `count` times. */
  key?: string;
  count?: number;
  held?: string[];
  power?: 'on' | 'off';
  check?: string;
  /** The standard to present, by id. */
  standard?: string;
  question?: string;
  /** Repairs to choose from, by id, as planned. */
  options?: string[];
  /** The repair to be done, by id. */
  repair?: string;
}

export type Answer = 'yes' | 'no' | 'unsure';
