import type { Command } from 'commander';
import type { Context } from './context.ts';

/** What `program.ts` gives to the files that add commands: how one is made, and where its exit code goes. */
export interface CommandMaker {
  command(name: string, about: string, example: string): Command;
  context: Context;
  setExit(code: number): void;
}
