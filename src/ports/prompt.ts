/** What the person (or the simulator's hands) is asked to do next. */
export interface Prompt {
  /** Unique within a session; answers name it. */
  id: string;
  act: 'touch' | 'lift' | 'short-tips' | 'press' | 'flex' | 'power' | 'answer' | 'wait' | 'choose' | 'repair';
  /**
   * What the act alone does not tell. `live`: there is a voltage on the tips. `standing`: the tips
   * stand on something already. `light`: the probe's light sensor watches. `check-resistor`: the
   * probe measures its own. `open`: the open tips are the standard. `next-standard`: a person names
   * the next standard.
   */
  why?: 'live' | 'standing' | 'light' | 'check-resistor' | 'open' | 'next-standard';
  /** The same prompt, by its id, was asked before: it needs no second telling. */
  again?: true;
  /** The caution that is to be acknowledged, by id. */
  caution?: string;
  /** What the probe has found just before, as a clause. */
  told?: string;
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
