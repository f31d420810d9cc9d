import type { TipWorld } from '../hands/tips.ts';
import type { PortName, ResetCause } from '../machine/chip.ts';
import { type Board, eepromBytes, Machine } from '../machine/machine.ts';
import { randomOf } from '../random.ts';
import { type Controls, controlsInReset, controlsOf } from './controls.ts';
import { channel, FrontEnd } from './front-end.ts';
import { drawParts, type FrontEndParts } from './front-end-parts.ts';
import { loadImage } from './image.ts';

/** Tone changes kept; older ones go first. */
const toneLogLength = 1000;
const pinButton = 4;
const pinOpen = 2;
const pinSeatA = 4;
const pinSeatB = 5;

/** Options of {@link EmulatedProbe}. */
export interface EmulatedProbeOptions {
  /** Firmware image: a path, or the program memory itself; the committed image if not given. */
  readonly image?: string | URL | Uint16Array<ArrayBuffer>;
  /** Decides parts, noise and RAM at power-on. */
  readonly seed: number;
  readonly world: TipWorld;
  /** Contents of the EEPROM at first; erased if not given. */
  readonly eeprom?: Uint8Array;
  /**
   * Serial number put into an erased EEPROM, 0 .. 2^32 - 2; none if not given, as in a probe just
   * built.
   */
  readonly serial?: number;
  /** Parts of the front end; drawn by the seed if not given. */
  readonly parts?: FrontEndParts;
}

/** A tone that began (`frequencyHz` > 0) or ended (0) at a probe time. */
export interface ToneChange {
  readonly tUs: number;
  readonly frequencyHz: number;
}

/**
 * The whole probe: the firmware image on the emulated chip, the front end around it, and the world
 * at its tips.
 *
 * The same image, seed, world and writes at the same probe times give the same bytes at the same
 * times.
 */
export class EmulatedProbe {
  readonly machine: Machine;
  readonly frontEnd: FrontEnd;
  readonly tones: ToneChange[] = [];
  /** Bytes from the probe, each as its stop bit ends. */
  onByte: (byte: number, tUs: number) => void = () => undefined;
  /** Called after each change of the control lines. */
  onControls: (controls: Controls, tUs: number) => void = () => undefined;
  readonly #world: TipWorld;
  readonly #driven: Record<PortName, number> = { b: 0, c: 0, d: 0 };
  #controlsNow: Controls = controlsInReset;
  #off = false;
  #cancelEdge: () => void = () => undefined;

  constructor(options: EmulatedProbeOptions) {
    const { seed, world, image } = options;
    this.#world = world;
    this.frontEnd = new FrontEnd(options.parts ?? drawParts(randomOf(seed, 'parts')), randomOf(seed, 'conversions'));
    const ram = randomOf(seed, 'ram');
    const program = image instanceof Uint16Array ? image : loadImage(image);
    let started = false;
    const board: Board = {
      convert: (input, tUs, divider) => {
        if (input === channel.light) this.frontEnd.light = world.light?.(tUs) ?? null;
        return this.frontEnd.convert(input, tUs, divider);
      },
      byte: (byte, tUs) => this.onByte(byte, tUs),
      tone: (frequencyHz, tUs) => this.#tone(frequencyHz, tUs),
      outputs: (port, driven, tUs) => {
        this.#driven[port] = driven;
        if (started) this.#applyOutputs(tUs);
      },
    };
    this.machine = new Machine({
      // a copy, so that a test may patch the program of one probe alone
      program: new Uint16Array(program),
      board,
      ramNoise: () => ram.integer(0, 255),
      eeprom: options.eeprom ?? eepromWithSerial(options.serial),
    });
    started = true;
    const { machine } = this;
    machine.setPin('d', pinButton, true);
    world.connect({
      get nowUs(): number {
        return machine.nowUs;
      },
      at: (tUs, run) => machine.at(tUs, run),
      changed: () => this.#applyWorld(),
    });
    this.#applyOutputs(this.nowUs);
  }

  /** Probe time since power-on in microseconds; it goes on over resets. */
  get nowUs(): number {
    return this.machine.nowUs;
  }

  /** Control lines as the firmware drives them now. */
  get controls(): Controls {
    return this.#controlsNow;
  }

  /** Runs up to `tUs` of probe time. */
  runUntilUs(tUs: number): void {
    this.machine.runUntilUs(tUs);
  }

  /** Puts bytes on the line to the probe, from now on. */
  write(bytes: Uint8Array): void {
    this.machine.write(bytes);
  }

  /** Presses or releases the probe's button. */
  button(down: boolean): void {
    this.machine.setPin('d', pinButton, !down);
  }

  /** Lets the supply dip below the brown-out level for `durationUs`. */
  brownOut(durationUs = 20_000): void {
    this.reset('brownOut', durationUs);
  }

  /** True after {@link switchOff} until a power-on reset. */
  get isOff(): boolean {
    return this.#off;
  }

  /** Takes the supply away: everything is off and stays so until `reset('powerOn')`. */
  switchOff(): void {
    this.#off = true;
    this.machine.reset('powerOn', Number.MAX_SAFE_INTEGER);
  }

  /** Resets the chip as a pulse on its reset pin, a dip of its supply or a power cycle does. */
  reset(cause: Exclude<ResetCause, 'watchdog'>, holdUs = 0): void {
    if (this.#off && cause !== 'powerOn') return;
    this.#off = false;
    this.machine.reset(cause, holdUs);
  }

  #tone(frequencyHz: number, tUs: number): void {
    if (frequencyHz === (this.tones.at(-1)?.frequencyHz ?? 0)) return;
    this.tones.push({ tUs, frequencyHz });
    if (this.tones.length > toneLogLength) this.tones.shift();
  }

  #applyOutputs(tUs: number): void {
    const { b, c, d } = this.#driven;
    const next = controlsOf(b, c, d);
    const before = this.#controlsNow;
    const same = (Object.keys(next) as (keyof Controls)[]).every((key) => next[key] === before[key]);
    if (same) return;
    this.#controlsNow = next;
    this.#applyWorld();
    this.onControls(next, tUs);
  }

  #applyWorld(): void {
    const { machine, frontEnd } = this;
    const controlsNow = this.#controlsNow;
    const tips = this.#world.look(controlsNow, frontEnd.parts.bridgeOhm);
    frontEnd.set(machine.nowUs, controlsNow, tips);
    machine.setPin('c', pinSeatA, !(controlsNow.seatStrobe && tips.seatA));
    machine.setPin('c', pinSeatB, !(controlsNow.seatStrobe && tips.seatB));
    this.#world.excited?.(controlsNow.excitation ? frontEnd.settledTipVolt : 0);
    this.#followComparator();
  }

  readonly #followComparator = (): void => {
    const { machine } = this;
    this.#cancelEdge();
    const { open, nextChangeUs } = this.frontEnd.comparator(machine.nowUs);
    machine.setPin('d', pinOpen, open);
    this.#cancelEdge =
      nextChangeUs === Number.POSITIVE_INFINITY ? () => undefined : machine.at(nextChangeUs, this.#followComparator);
  };
}

/**
 * An erased EEPROM but for the serial number, little-endian in its first four bytes (where the
 * probe keeps it).
 */
function eepromWithSerial(serial: number | undefined): Uint8Array {
  const bytes = new Uint8Array(eepromBytes).fill(0xff);
  if (serial !== undefined) new DataView(bytes.buffer).setUint32(0, serial, true);
  return bytes;
}
