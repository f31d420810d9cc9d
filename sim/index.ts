export { Device } from './device/device.ts';
export type { Move } from './hands/moves.ts';
export { parseScript, parseScriptLine, scriptHelp } from './hands/script.ts';
export { EmulatedProbe } from './probe/emulated-probe.ts';
export { type Simulation, type SimulationOptions, simulate } from './simulation.ts';
export { type ServedPty, servePty } from './wire/serve-pty.ts';
export { SimTransport } from './wire/transport.ts';
export { FaultyWire, type WireCounters, type WireFaultRates } from './wire/wire.ts';
