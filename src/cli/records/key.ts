import { fingerprintOf, openBenchKey, publicPem } from '../../record/signing/bench-key.ts';
import { renewBenchKey } from '../../record/signing/renew-key.ts';
import { benchKeyPath, emulatedKeyPath } from '../places/locations.ts';
import { type Context, printJson } from '../program/context.ts';
import { exitCodes } from '../program/exit-codes.ts';
import { loadSettings } from '../settings/load-settings.ts';
import type { KeyOptions } from './key-command.ts';

/**
 * `key`: prints the public half of the key that this bench signs its records with; makes the key on
 * first use.
 */
export async function key(options: KeyOptions, { terminal }: Context): Promise<number> {
  const path = options.emulated ? emulatedKeyPath(terminal) : benchKeyPath(terminal);
  const renewed = options.renew ? await renewBenchKey(path, terminal.now()) : null;
  const { publicKey, fingerprint, succession } = renewed?.key ?? openBenchKey(path);
  if (options.json) printJson(terminal, { publicKey, fingerprint, pem: publicPem(publicKey), path, succession });
  else if (options.pem) terminal.document(publicPem(publicKey));
  else {
    const bench = (await loadSettings(terminal)).get('bench');
    if (bench !== undefined) terminal.out(`bench        ${bench}`);
    terminal.out(`fingerprint  ${fingerprint}`);
    terminal.out(`public key   ${publicKey}`);
    for (const { from, at } of succession)
      terminal.out(`before       ${fingerprintOf(from)}, until ${at.slice(0, 10)}; it has signed the key after it`);
    if (renewed !== null) terminal.say(`The old key is kept in ${renewed.oldPath}; nothing signs with it any more.`);
    terminal.say(`The private half is in ${path}: keep it there, and keep a copy where only you can read it.`);
    terminal.say(
      'Give others the fingerprint by another way than the record (on paper, by voice): then they can check it.',
    );
  }
  return exitCodes.passed;
}
