import type { Level, Limits, Rule } from '../measure/types.ts';
import type { LinkKind } from './circuit/link-kinds.ts';

export type { Level, Limits, Rule };
export type Power = 'off' | 'on';

/**
 * A device guide as the program uses it: read from YAML, checked, and in SI numbers (ohm, volt,
 * microsecond).
 *
 * Minutes and prices are for planning only. Every id is unique in its own list; every reference has
 * been looked up.
 */
export interface Guide {
  id: string;
  title: string;
  device: { maker: string; name: string; kind: string };
  /** What the prices are in; null when the guide has none. */
  currency: string | null;
  revisions: { holds: string[]; not: { revision: string; reason: string }[] };
  cautions: Caution[];
  access: Access[];
  /** Minutes that switching the device on or off takes. */
  powerMinutes: number;
  units: Unit[];
  nodes: string[];
  /** The node that voltages are counted from; null for a circuit without one (no rails then). */
  ground: string | null;
  /** Pictures of the device; a guide may have none. */
  pictures: Picture[];
  pads: Pad[];
  links: Link[];
  rails: Rail[];
  inputs: Input[];
  keys: Key[];
  checks: Check[];
  repairs: Repair[];
  rule: Rule;
  /** Isolation stops when its leading decision is this probable, 0.5..0.999. */
  confidence: number;
  /**
   * How often a person who looks, or the device's answer, is told wrongly: a fault missed, and one
   * seen that isn't there; 0..0.5.
   */
  eyes: { miss: number; falseAlarm: number };
  /**
   * The repair that a shop would do first without measuring, an id of `repairs`, for comparing
   * costs; null: none is usual.
   */
  usual: string | null;
  /**
   * A repair of this price or more is confirmed by one more check before it is named; absent: the
   * dearest third of the repairs.
   */
  confirmAbove?: number;
  /**
   * Chance that the tips were on another pad than asked for, so that no reading rules anything out
   * for ever; 0..0.2.
   */
  wrongPad: number;
  /** Chance, before any check, that nothing is wrong with the device; 0..1, neither end. */
  healthy: number;
}

/** A state of disassembly that checks ask for. */
export interface Access {
  id: string;
  name: string;
  /** To get there from the closed device. */
  minutes: number;
  /** Links that are taken apart in this state: they are open, whatever else is wrong. */
  parts: string[];
}

interface Caution {
  id: string;
  title: string;
  text: string;
  when: 'always' | 'power-on' | 'opened';
}

export interface Unit {
  id: string;
  name: string;
  price?: number;
  minutes?: number;
  /** The unit is or holds a lithium cell: a guide that has one must caution about it. */
  lithium: boolean;
}

/** A picture of the device, or of a part of it. */
export interface Picture {
  id: string;
  /** Named from the folder of the guide. */
  file: string;
  /** Which part, which side, how far taken apart. */
  shows: string;
}

/** Where a pad is on a picture: shares of its width and height as it is seen, from the upper left. */
export interface PadPlace {
  picture: string;
  x: number;
  y: number;
}

/** A point that a tip can touch. */
interface Pad {
  id: string;
  node: string;
  where: string;
  /** The states of access in which a tip can reach it; absent: in each. */
  in?: string[];
  at?: PadPlace;
}

/** One conductive element. It belongs to one unit, or to the interface between two. */
export interface Link {
  id: string;
  from: string;
  to: string;
  kind: LinkKind;
  /** Healthy resistance; of a switch: when closed. */
  ohm: number;
  /** Unit-to-unit spread of `ohm`, relative, one standard deviation. */
  spread: number;
  /** A switch only: what it is while nobody presses. */
  normally: 'open' | 'closed';
  /** Null when the link is the interface `between` two units. */
  unit: string | null;
  between?: [string, string];
  /**
   * How probable each way to fail is against those of other links; a way that isn't here has its
   * kind's own weight.
   */
  weights: Partial<Record<FaultMode, number>>;
  /** Nodes that a short from `from` may go to; with none, `short` is no suspect of this link. */
  near: string[];
}

/** A voltage behind a resistance, from ground to `node`; there only while the device is on. */
export interface Rail {
  id: string;
  node: string;
  volt: number;
  ohm: number;
}

/** The device responds when `node` is below `belowVolt`. */
export interface Input {
  id: string;
  name: string;
  node: string;
  belowVolt: number;
}

interface Key {
  id: string;
  name: string;
  /** The switch link that pressing works. */
  link: string;
  /** Keys that go down with this one (a full press includes the half press). */
  with: string[];
}

export interface CheckCommon {
  id: string;
  title: string;
  power: Power;
  /** State of disassembly, an id of `access`; absent: the closed device. */
  access?: string;
  minutes: number;
  prompt: string;
  dwellMs?: number;
}

export interface ResistanceCheck extends CheckCommon {
  kind: 'resistance';
  pads: [string, string];
  limits: Limits;
  level: Level;
  /** Keys held down during the touch. */
  pressed: string[];
}

export interface VoltageCheck extends CheckCommon {
  kind: 'voltage';
  pads: [string, string];
  limits: Limits;
  pressed: string[];
}

export interface LookCheck extends CheckCommon {
  kind: 'look';
  pads?: [string, string];
  question: string;
  passAnswer: 'yes' | 'no';
  /** Faults that the eye finds: they turn the answer. */
  sees: { link: string; mode: FaultMode }[];
}

export interface PressesCheck extends CheckCommon {
  kind: 'presses';
  pads: [string, string];
  key: string;
  count: number;
  /** Bad presses that still pass. */
  maxBad: number;
  /** Of the closed key. */
  limits: Limits;
  level: Level;
  maxBounceMs?: number;
}

/**
 * A closure between two pads of the live device, made by the probe and proven by the voltage's
 * collapse: does the device respond?
 */
export interface BridgeCheck extends CheckCommon {
  kind: 'bridge';
  power: 'on';
  pads: [string, string];
  /** Keys held down during the touch. */
  pressed: string[];
  /** Of the voltage across the pads before the closure. */
  idle: Limits;
  durationMs: number;
  /** The closure is proven when less than this share of the idle voltage is left, 0.01..0.9. */
  collapse: number;
  /** The input that should respond. */
  input: string;
  question: string;
  /**
   * Who says whether it responded: a person, or the probe's light sensor facing the display (a
   * person where the probe has none).
   */
  answer: 'person' | 'light';
  /** The light must change within this time after the closure. */
  withinMs: number;
}

/**
 * One touch at two levels, dry first: a film stands between the metals when the dry reading is far
 * above the normal one.
 */
export interface DryNormalCheck extends CheckCommon {
  kind: 'dry-normal';
  power: 'off';
  pads: [string, string];
  pressed: string[];
  /** Of the reading at the normal level. */
  limits: Limits;
  /** A dry reading above this many times the normal one, beyond their uncertainties, is a film. */
  factor: number;
}

/** A touch that is held while the technician flexes and taps: drop-outs and wander. */
export interface SteadyCheck extends CheckCommon {
  kind: 'steady';
  power: 'off';
  pads: [string, string];
  pressed: string[];
  limits: Limits;
  level: Level;
  holdMs: number;
  /** Drop-outs that still pass. */
  maxDropOuts: number;
  /** Greatest less least reading over the hold, relative to the median. */
  maxWander: number;
}

export type Check =
  | ResistanceCheck
  | VoltageCheck
  | LookCheck
  | PressesCheck
  | BridgeCheck
  | DryNormalCheck
  | SteadyCheck;
export type CheckKindName = Check['kind'];

export interface Repair {
  id: string;
  name: string;
  /** A link without a mode: every way in which that link fails. */
  fixes: { link: string; mode: FaultMode | null }[];
  price: number;
  minutes: number;
  /** Chance that the repair mends what it fixes, 0..1. */
  success: number;
}

export type FaultMode = 'open' | 'high' | 'short' | 'film' | 'weak' | 'intermittent' | 'stuck' | 'leaky' | 'welded';

export interface Fault {
  link: string;
  mode: FaultMode;
  /**
   * Added ohms (high, film when dry, weak), or those of the short or of what leaks across; absent:
   * the mode's default.
   */
  ohm?: number;
  /** Where a short goes to. */
  node?: string;
}

/** One sentence about what is wrong in a guide, where, and what to do. */
export interface GuideProblem {
  severity: 'error' | 'warning';
  code: string;
  /** Dotted path in the file, as `checks.3.limits.max`; empty for the whole file. */
  path: string;
  /** From 1; null where the problem has no place in a file. */
  line: number | null;
  column: number | null;
  what: string;
  help: string;
}
