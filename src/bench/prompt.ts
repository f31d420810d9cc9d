/** What the person (or the simulator's hands) is asked to do next. */
export interface Prompt {
  /** Unique within a session; answers name it. */
  id: string;
  act: 'touch' | 'lift' | 'short-tips' | 'press' | 'power' | 'answer' | 'wait';
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
  question?: string;
}

export type Answer = 'yes' | 'no' | 'unsure';
