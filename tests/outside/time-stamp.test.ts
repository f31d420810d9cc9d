// The hash of a record's last entry goes to a witness as it is: a time-stamp by RFC 3161 is over it.
import { execFileSync, spawnSync } from 'node:child_process';
import { copyFileSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, test } from 'vitest';
import { cli } from '../support/command-line.ts';
import { notApplicable } from '../support/needs.ts';
import { scratch } from '../support/scratch.ts';

const openssl = spawnSync('openssl', ['version']).status === 0;
const missing = notApplicable(openssl, "openssl isn't installed", 'the time-stamp of a record is not tried');

/** An authority of its own. Source of the extension: RFC 3161, section 2.3. */
const settings = `
[req]
distinguished_name = name
prompt = no
[name]
CN = witness
[stamping]
extendedKeyUsage = critical,timeStamping
[witness]
serial = ./serial
default_policy = 1.2.3.4.1
digests = sha256
signer_digest = sha256
ess_cert_id_alg = sha256
`;
const kept = new URL('../fixtures/records/format-2-added.owjob', import.meta.url);

describe.skipIf(missing !== null)('a time-stamp by RFC 3161', () => {
  let cwd: string;
  const run = (...args: string[]): number | null => spawnSync('openssl', args, { cwd }).status;
  const headOf = async (path: string): Promise<string> => {
    const { code, terminal } = await cli(cwd, ['verify', '--chain-only', path, '--json']);
    expect(code).toBe(0);
    return (terminal.json as { head: string }[])[0]!.head;
  };
  const holds = (head: string): boolean =>
    run('ts', '-verify', '-digest', head, '-in', 'answer.tsr', '-CAfile', 'witness.pem') === 0;
  let head: string;

  beforeAll(async () => {
    cwd = scratch();
    writeFileSync(join(cwd, 'settings'), settings);
    const made = ['-keyout', 'key.pem', '-out', 'witness.pem', '-days', '2', '-extensions', 'stamping'];
    execFileSync('openssl', ['req', '-x509', '-newkey', 'rsa:2048', '-nodes', '-config', 'settings', ...made], {
      cwd,
      stdio: 'ignore',
    });
    copyFileSync(kept, join(cwd, 'job.owjob'));
    head = await headOf(join(cwd, 'job.owjob'));
    expect(run('ts', '-query', '-digest', head, '-sha256', '-cert', '-out', 'request.tsq')).toBe(0);
    const by = ['-config', 'settings', '-section', 'witness', '-signer', 'witness.pem', '-inkey', 'key.pem'];
    expect(run('ts', '-reply', ...by, '-queryfile', 'request.tsq', '-out', 'answer.tsr')).toBe(0);
  });

  test('is over the hash that verify tells, which is that of the last entry in the file', () => {
    expect(holds(head)).toBe(true);
    const last = readFileSync(kept, 'utf8').split('\n').at(-2)!;
    writeFileSync(join(cwd, 'body'), last.slice('{"body":'.length, -`,"sha256":"${head}"}`.length));
    expect(run('ts', '-verify', '-data', 'body', '-in', 'answer.tsr', '-CAfile', 'witness.pem')).toBe(0);
  });

  test('does not hold for a record that was cut off or made longer', async () => {
    const lines = readFileSync(kept, 'utf8').split('\n');
    const path = join(cwd, 'cut.owjob');
    writeFileSync(path, `${lines.slice(0, -2).join('\n')}\n`);
    expect(holds(await headOf(path))).toBe(false);
  });

  test('is of an entry that a longer record still holds', async () => {
    const lines = readFileSync(kept, 'utf8').split('\n');
    const { body, sha256 } = JSON.parse(lines[17]!) as { body: { n: number }; sha256: string };
    const { job } = (JSON.parse(lines[0]!) as { body: { job: string } }).body;
    const label = `ohmwright ${job} failed ${sha256} ${body.n}`;
    expect((await cli(cwd, ['verify', join(cwd, 'job.owjob'), '--label', label])).code).toBe(0);
    const other = label.replace(sha256, head);
    expect((await cli(cwd, ['verify', join(cwd, 'job.owjob'), '--label', other])).code).toBe(6);
  });
});
