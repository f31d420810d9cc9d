import { access } from 'node:fs/promises';
import type { SerialPort } from 'serialport';
import type { Transport } from '../../ports/transport.ts';
import { baudRate } from '../../protocol/table.ts';
import { goneText, lostText, portError } from './port-errors.ts';
import { owningGroup, portHolders } from './port-holders.ts';

/** Bytes kept when the program is slow to read: a second and more of readings at the full rate. */
const highWaterMark = 16_384;
/** How often the port's path is looked for: some drivers do not tell of unplugging. */
const pathLookMs = 500;
/**
 * The reset line is held for this long; the capacitor of usual boards makes a pulse of it (common
 * practice, no source).
 */
const resetPulseMs = 100;

/**
 * A serial port (or a pseudo-terminal, which is one without control lines), locked against other
 * programs while open.
 */
export class SerialTransport implements Transport {
  readonly path: string;
  /** Set when the port turns out to have control lines. */
  pulseReset?: () => Promise<void>;
  readonly #dataListeners: ((bytes: Uint8Array) => void)[] = [];
  readonly #closeListeners: ((why: string) => void)[] = [];
  #port: SerialPort | null = null;
  #pathLook: NodeJS.Timeout | undefined;
  #ended = false;

  constructor(path: string) {
    this.path = path;
  }

  /**
   * Opens the port at the probe's speed. @throws OhmwrightError `port.gone`, `port.busy`,
   * `port.forbidden`, `port.speed`, `port.failed`
   */
  async open(): Promise<void> {
    const { SerialPort: Port } = await import('serialport');
    // vmin and vtime stay as they are: a read of no bytes would keep a processor busy for ever
    const port = new Port({ path: this.path, baudRate, autoOpen: false, lock: true, highWaterMark });
    this.#port = port;
    port.on('data', (bytes: Buffer) => {
      for (const listener of this.#dataListeners) listener(bytes);
    });
    port.on('error', (error) => this.#end(lostText(error)));
    port.on('close', (error: Error | null) => this.#end(error == null ? 'the port was closed' : lostText(error)));
    await new Promise<void>((resolve, reject) => port.open((error) => (error ? reject(error) : resolve()))).catch(
      async (error: unknown) => {
        const { path } = this;
        const [holders, group] = await Promise.all([portHolders(path), owningGroup(path)]);
        throw portError(path, error, { platform: process.platform, holders, group });
      },
    );
    await this.#findControlLines(port);
    this.#watchPath();
  }

  async write(bytes: Uint8Array): Promise<void> {
    const port = this.#port;
    if (port === null || !port.isOpen) throw new Error('the port is closed');
    await new Promise<void>((resolve, reject) => {
      port.write(Buffer.from(bytes), (error) =>
        error ? reject(new Error(lostText(error), { cause: error })) : resolve(),
      );
    });
  }

  onData(listener: (bytes: Uint8Array) => void): void {
    this.#dataListeners.push(listener);
  }

  onClose(listener: (why: string) => void): void {
    this.#closeListeners.push(listener);
  }

  async close(): Promise<void> {
    clearInterval(this.#pathLook);
    const port = this.#port;
    if (port?.isOpen) await new Promise<void>((resolve) => port.close(() => resolve()));
    this.#end('closed by the host');
  }

  async #findControlLines(port: SerialPort): Promise<void> {
    const hasLines = await new Promise<boolean>((resolve) => port.get((error) => resolve(error === null)));
    if (!hasLines) return;
    const setDtr = (dtr: boolean) =>
      new Promise<void>((resolve, reject) => port.set({ dtr }, (error) => (error ? reject(error) : resolve())));
    this.pulseReset = async () => {
      await setDtr(false);
      await new Promise((resolve) => setTimeout(resolve, resetPulseMs));
      await setDtr(true);
    };
  }

  #watchPath(): void {
    if (!this.path.startsWith('/')) return; // names of Windows ports are no files
    this.#pathLook = setInterval(() => {
      access(this.path).catch(() => this.#end(goneText));
    }, pathLookMs);
    this.#pathLook.unref();
  }

  #end(why: string): void {
    if (this.#ended) return;
    this.#ended = true;
    clearInterval(this.#pathLook);
    for (const listener of this.#closeListeners) listener(why);
  }
}

/** A port as the system lists it. */
export interface ListedPort {
  path: string;
  vendorId?: string | undefined;
  productId?: string | undefined;
  serialNumber?: string | undefined;
  manufacturer?: string | undefined;
}

/**
 * Returns the serial ports that the system lists. @throws where the system's tool for it is missing
 */
export async function listSystemPorts(): Promise<ListedPort[]> {
  const { SerialPort: Port } = await import('serialport');
  return await Port.list();
}
