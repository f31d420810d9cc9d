import { type Key, render, useInput } from 'ink';
import type { ReactNode } from 'react';
import type { KeyPress } from '../../../view/job/keyboard.ts';
import type { Terminal } from './terminal.ts';

/** What a terminal screen tells. */
export interface ScreenEvents {
  onKey(key: KeyPress): void;
  onResize(): void;
}

/**
 * The terminal while a screen is on it: its other page, keys one by one, frames of one row less
 * than it has.
 */
export interface TerminalScreen {
  show(node: ReactNode): void;
  size(): { cols: number; rows: number };
  bell(): void;
  /** Rejects when a frame could not be drawn. */
  readonly broken: Promise<never>;
  /** Gives the terminal back as it was; nothing of the screen is left on it. */
  leave(): Promise<void>;
}

/**
 * Leaves the other page, shows the cursor, ends bracketed paste: for the ways out on which nothing
 * can be waited for.
 */
const restore = '\u001b[?2004l\u001b[?1049l\u001b[?25h';

/** Ink's own limit only has to stay out of the way: the pace of frames is decided before. */
const inkFps = 60;

function WithKeys({ children, onKey }: { children: ReactNode; onKey: (input: string, key: Key) => void }) {
  useInput(onKey);
  return children;
}

/**
 * Takes the terminal over and returns its screen. `mostFps` is a limit on drawing beside the
 * caller's own pace.
 */
export function openTerminalScreen(terminal: Terminal, events: ScreenEvents, mostFps = inkFps): TerminalScreen {
  const { stdin, stdout, writeNow } = terminal.screen!;
  const onKey = (input: string, key: Key): void => {
    for (const press of pressesOf(input, key)) {
      // raw mode keeps Ctrl-C from the system; it goes the way of every other interrupt
      if (press.ctrl === true && press.input === 'c') terminal.interrupt();
      else events.onKey(press);
    }
  };
  const ink = render(<WithKeys onKey={onKey}>{null}</WithKeys>, {
    stdin,
    stdout,
    exitOnCtrlC: false,
    patchConsole: true,
    maxFps: mostFps,
    incrementalRendering: true,
    interactive: true,
    alternateScreen: true,
  });
  const broken = new Promise<never>((_resolve, reject) => {
    ink.waitUntilExit().catch(reject);
  });
  broken.catch(() => undefined); // whoever shows something looks at it; nobody may have begun to
  const forgetRestore = terminal.beforeEnd(() => {
    try {
      stdin.setRawMode(false);
    } catch {
      // a terminal that is gone has no mode
    }
    writeNow(restore);
  });
  // a window that is closed breaks both ends; the hang-up signal tells of it, and the session ends
  // by that
  const lostEnd = (): void => undefined;
  stdin.on('error', lostEnd);
  stdout.on('resize', events.onResize);
  return {
    show: (node) => ink.rerender(<WithKeys onKey={onKey}>{node}</WithKeys>),
    size: () => ({ cols: stdout.columns || 80, rows: stdout.rows || 24 }),
    bell: () => void stdout.write('\u0007'),
    broken,
    async leave() {
      stdout.off('resize', events.onResize);
      ink.unmount();
      await ink.waitUntilExit().catch(() => undefined); // told by `broken`
      stdin.pause();
      stdin.off('error', lostEnd);
      forgetRestore();
    },
  };
}

/** Returns single presses: fast typing and pasting come as one text. */
function pressesOf(input: string, key: Key): KeyPress[] {
  const backspace = key.backspace || key.delete;
  const named = { escape: key.escape, return: key.return, backspace, up: key.upArrow, down: key.downArrow };
  if (Object.values(named).includes(true)) return [{ input: '', ...named }];
  if (key.ctrl) return [{ input, ctrl: true }];
  if (key.tab || key.leftArrow || key.rightArrow) return [];
  return [...input].map((char) => {
    if (char === '\r' || char === '\n') return { input: '', return: true };
    if (char === '\u007f' || char === '\b') return { input: '', backspace: true };
    return { input: char };
  });
}
