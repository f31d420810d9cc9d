import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { spawn } from '@lydell/node-pty';
import { servePty, simulate } from '../../sim/index.ts';
import { parseGuide } from '../../src/checks/guides.ts';
import type { Measured } from './benchmark.ts';
import { groundPad, padOf, resistorBoardText } from './resistor-board.ts';
import type { ScreenCpu } from './screen-cpu-child.ts';

export const name = 'screen-cpu';
export const claim =
  'processor time of a job on the live screen at full streaming (touches and captures all the while) against the same job in plain lines';

/** Fifteen frames a second may cost more than the lines do, yet must leave most of an old bench machine's core. The figures are our choice. */
const ratioTarget = 6;
const coreTarget = 0.3;
const warmUpMs = 3_000;
const measuredMs = 8_000;
const child = fileURLToPath(new URL('screen-cpu-child.ts', import.meta.url));
/** More checks than there are touches in the time. */
const checks = 60;
const ohms = [47];

/** Returns what the record of a job in a folder holds so far. */
function recordText(jobs: string): string {
  const [file] = existsSync(jobs) ? readdirSync(jobs).filter((one) => one.endsWith('.owjob')) : [];
  return file === undefined ? '' : readFileSync(join(jobs, file), 'utf8');
}

/** Returns what one way of telling the job cost; the emulator runs in this process, the host in its own. */
async function costOf(mode: 'screen' | 'plain', folder: string): Promise<ScreenCpu> {
  const text = resistorBoardText(ohms, checks);
  const guideFile = join(folder, 'row.yaml');
  writeFileSync(guideFile, text);
  const parsed = parseGuide(text, guideFile);
  if (!parsed.ok) throw new Error('the board of resistors is no guide');
  const { probe, hands } = simulate({ guide: parsed.guide, seed: 43, slipRate: 0 });
  const served = await servePty({ probe });
  const report = join(folder, `${mode}.json`);
  const again = (): void =>
    hands.perform(
      [
        { do: 'touch', pads: [padOf(0), groundPad] },
        { do: 'wait', us: 350_000 },
        { do: 'lift' },
        { do: 'wait', us: 350_000 },
      ],
      () => queueMicrotask(again),
    );
  // the opening proof first, as a person would: each half of it until the record holds it
  const prove = (): void => {
    const held = recordText(join(folder, mode)).split('"kind":"proof"').length - 1;
    const [half, us] = held === 0 ? (['short', 900_000] as const) : (['lift', 300_000] as const);
    if (held >= 2) again();
    else
      hands.perform([{ do: 'lift' }, { do: 'wait', us: 500_000 }, { do: half }, { do: 'wait', us }], () =>
        queueMicrotask(prove),
      );
  };
  prove();
  const { CI: _ci, NO_COLOR: _colour, ...env } = process.env;
  const args = [child, mode, guideFile, served.path, folder, report, String(warmUpMs), String(measuredMs)];
  const host = spawn(process.execPath, args, {
    cols: 80,
    rows: 24,
    name: 'xterm-256color',
    env: { ...env, TERM: 'xterm-256color', LC_ALL: 'C.UTF-8' },
  });
  let shown = '';
  host.onData((data) => {
    shown += data;
  });
  try {
    await new Promise<void>((resolve) => void host.onExit(() => resolve()));
    return { ...(JSON.parse(readFileSync(report, 'utf8')) as ScreenCpu), bytes: shown.length };
  } finally {
    await served.close();
  }
}

export async function measure(): Promise<Measured> {
  const folder = mkdtempSync(join(tmpdir(), 'ohmwright-screen-cpu-'));
  try {
    const screen = await costOf('screen', folder);
    const plain = await costOf('plain', folder);
    const share = ({ cpuUs, wallUs }: ScreenCpu): number => cpuUs / wallUs;
    return {
      figures: [
        { what: 'screen / plain lines', value: share(screen) / share(plain), sense: 'at most', target: ratioTarget },
        { what: 'screen / one core', value: share(screen), sense: 'at most', target: coreTarget },
      ],
      work: { screenCaptures: screen.captures, plainCaptures: plain.captures, screenBytes: screen.bytes },
      numbers: {
        screenCpuMs: screen.cpuUs / 1000,
        plainCpuMs: plain.cpuUs / 1000,
        wallMs: screen.wallUs / 1000,
        plainBytes: plain.bytes,
      },
    };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
