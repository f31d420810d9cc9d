import { homedir } from 'node:os';
import { dirname, resolve } from 'node:path';
import { type Document, isMap, isScalar, LineCounter, parseDocument } from 'yaml';
import { FileError, unwritable } from '../../files/file-error.ts';
import { exists, makePrivateFolder } from '../../files/folder.ts';
import { readForeignText } from '../../files/read-file.ts';
import { writeOutput } from '../../files/write-output.ts';
import { didYouMean } from '../../guide/file/near.ts';
import { isSetting, type SettingFile, type SettingName, settingNames, settingTable } from './setting-table.ts';

/** What a file says, as far as it can be used. */
export interface FileSettings {
  path: string;
  values: Map<SettingName, unknown>;
  /** What can't be used, each with its line and what is used in its place. */
  problems: string[];
}

/**
 * Returns what a file of settings says; null when there is no such file. A line that can't be used
 * is left out, with the reason; of a file that is no YAML nothing is used.
 */
export async function readSettings(path: string, kind: SettingFile): Promise<FileSettings | null> {
  let text: string;
  try {
    text = await readForeignText(path, 'settings');
  } catch (error) {
    if (!(error instanceof FileError)) throw error;
    if (error.code === 'file.missing') return null;
    return { path, values: new Map(), problems: [`${path}: ${error.why}. Nothing of it is used.`] };
  }
  return settingsIn(text, path, kind);
}

/** Returns what the text of a file of settings says. */
export function settingsIn(text: string, path: string, kind: SettingFile): FileSettings {
  const found: FileSettings = { path, values: new Map(), problems: [] };
  const counter = new LineCounter();
  const document = parseDocument(text, { lineCounter: counter, uniqueKeys: false, prettyErrors: false });
  const lineAt = (offset: number): number => counter.linePos(offset).line;
  const [broken] = document.errors;
  if (broken !== undefined) {
    found.problems.push(`${path}, line ${lineAt(broken.pos[0])}: ${broken.message}. Nothing of the file is used.`);
    return found;
  }
  if (document.contents === null) return found;
  if (!isMap(document.contents)) {
    found.problems.push(
      `${path}, line 1: that is no list of settings, such as 'order: guide'. Nothing of the file is used.`,
    );
    return found;
  }
  const lines = new Map<string, number>();
  for (const { key, value } of document.contents.items) {
    const name = isScalar(key) ? String(key.value) : '';
    const line = lineAt((isScalar(key) ? key.range?.[0] : undefined) ?? 0);
    const where = `${path}, line ${line}: ${name}`;
    const before = lines.get(name);
    lines.set(name, before ?? line);
    if (!isSetting(name)) {
      found.problems.push(
        `${where}: there is no such setting${didYouMean(name, settingNames)}. It is left out.`.replace('?.', '?'),
      );
    } else if (before !== undefined) {
      found.problems.push(`${where}: it is said in line ${before} already. Line ${before} is used.`);
    } else {
      const { files, takes, otherwise, isPath, read } = settingTable[name];
      const told = isScalar(value) ? (value.source ?? String(value.value)) : null;
      const taken = told === null ? null : read(told);
      if (!(files as readonly string[]).includes(kind)) {
        found.problems.push(`${where}: a shop's file can't say that. It is left out.`);
      } else if (taken === null) {
        found.problems.push(
          `${where}: it takes ${takes}. In its place counts what other places say, else ${otherwise}.`,
        );
      } else {
        found.values.set(
          name,
          isPath === true ? resolve(dirname(path), String(taken).replace(/^~(?=[/\\]|$)/, homedir())) : taken,
        );
      }
    }
  }
  return found;
}

/**
 * Writes settings into a file, or takes them out (null); all else in it stays as it is. `head`: how
 * a new file begins.
 *
 * @throws FileError when the file can't be read, is broken, or can't be written
 */
export async function writeSettings(
  path: string,
  changes: Partial<Record<SettingName, string | null>>,
  head = '',
): Promise<void> {
  const before = (await exists(path)) ? await readForeignText(path, 'settings') : head;
  const document: Document = parseDocument(before, { uniqueKeys: false });
  const [broken] = document.errors;
  if (broken !== undefined)
    throw new FileError('file.unreadable', path, broken.message, { help: 'Mend that line first.' });
  if (document.contents !== null && !isMap(document.contents))
    throw new FileError('file.unreadable', path, 'it is no list of settings', {
      help: 'Mend or remove the file first.',
    });
  for (const [name, text] of Object.entries(changes)) {
    if (text === null) document.delete(name);
    else document.set(name, text);
  }
  try {
    makePrivateFolder(dirname(path));
  } catch (error) {
    throw unwritable(path, error);
  }
  const isEmpty = document.contents === null || (isMap(document.contents) && document.contents.items.length === 0);
  writeOutput(path, isEmpty ? head : String(document), { force: true });
}
