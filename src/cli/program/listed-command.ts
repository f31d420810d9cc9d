import type { CommandDeclaration } from './define-command.ts';

/** A command as `--help` lists it. */
export interface ListedCommand {
  /** The words that call it. */
  name: string;
  about: string;
  /** Loads its declaration; none for a word that only stands before others. */
  load?: () => Promise<{ default: CommandDeclaration }>;
  /** A command line of one below it, for a word that has no declaration. */
  example?: string;
}
