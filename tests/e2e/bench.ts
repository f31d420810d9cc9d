import { ohmwright, type Program } from '../support/program.ts';

/** The emulated probe in a process of its own, on a pseudo-terminal. */
export async function startSim(args: string[]): Promise<{ sim: Program; port: string }> {
  const sim = ohmwright(['sim', ...args]);
  const { line } = await sim.out.find(/^\//);
  return { sim, port: line };
}

/** How a driver answers, and where it stops. */
export interface DriverOptions {
  /** Answers to look questions, by a word of the question; else yes. */
  answers?: Record<string, 'yes' | 'no' | 'unsure'>;
  /** Sees each line before it is acted on; true keeps the hands still for it. */
  onLine?: (line: string) => boolean;
}

/**
 * Does what a job's lines ask for: moves the hands of the emulated probe and types answers, as a technician would who reads
 * nothing but the program's talk.
 */
export function driveBy(run: Program, sim: Program, options: DriverOptions = {}): void {
  let tipA = '';
  run.said.each((line) => {
    if (options.onLine?.(line) === true) return;
    const pad = /^\s*Tip ([AB]): (\S+)/.exec(line);
    if (pad?.[1] === 'A') tipA = pad[2]!;
    else if (pad?.[1] === 'B') {
      // a hand needs a moment from pad to pad; without it this would be a slip, not a lift
      sim.type('lift');
      sim.type('wait 150 ms');
      sim.type(`touch ${tipA} ${pad[2]}`);
    } else if (/voltage on the tips\. Lift them/i.test(line)) {
      sim.type('lift');
      sim.type('power off');
    } else if (/Lift the tips|keep the tips off/.test(line)) sim.type('lift');
    else if (/Hold the two tips together/.test(line)) sim.type('short');
    else if (/Switch the device (on|off)/.test(line)) sim.type(`power ${/device on/.test(line) ? 'on' : 'off'}`);
    else if (/\(yes, no or unsure\)/.test(line)) run.type(answerTo(line, options.answers ?? {}));
    else if (/\(yes or no\)/.test(line)) run.type('yes');
  });
}

function answerTo(question: string, answers: Record<string, string>): string {
  const found = Object.entries(answers).find(([word]) => question.includes(word));
  return found?.[1] ?? 'yes';
}

/** Goes on with a job in the guide's order on a probe that the simulator serves; its hands do what is asked. */
export function goOn(record: string, port: string, sim: Program): Program {
  const again = ohmwright([
    'run',
    '--resume',
    record,
    '--order',
    'guide',
    '--repair',
    'none',
    '--port',
    port,
    '--json',
  ]);
  driveBy(again, sim);
  return again;
}
