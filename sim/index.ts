export { Bench } from './bench.ts';
export { Device } from './device.ts';
export { EmulatedProbe, type EmulatedProbeOptions, type ToneChange } from './emulated-probe.ts';
export { Hands, type HandsOptions, type Prompt } from './hands.ts';
export { committedImagePath, loadImage } from './image.ts';
export type { Answer, Move } from './moves.ts';
export { parseScript, parseScriptLine, type ScriptProblem, scriptHelp } from './script.ts';
export { SimError } from './sim-error.ts';
export { SimTransport, type SimTransportOptions } from './transport.ts';
