import { type CiCase, type CiJob, ciCases } from './ci-cases.ts';

/**
 * Returns jobs in the Test Anything Protocol, version 14: a line a check, one for each job's record
 * and one for its result.
 */
export function tapText(jobs: readonly CiJob[]): string {
  const cases = jobs.flatMap((job) =>
    ciCases(job).map((one) => ({ ...one, name: jobs.length > 1 ? `${job.state.job}: ${one.name}` : one.name })),
  );
  const lines = cases.map((one, i) => {
    const ok = one.kind === 'passed' || one.kind === 'skipped';
    const directive = one.kind === 'skipped' ? ` # SKIP ${oneLine(one.message)}` : '';
    return `${ok ? 'ok' : 'not ok'} ${i + 1} - ${described(one.name)}${directive}${ok ? '' : diagnosis(one)}`;
  });
  return ['TAP version 14', `1..${cases.length}`, ...lines, ''].join('\n');
}

/** A block of YAML; a JSON text is one too, whatever is in it. */
function diagnosis({ kind, message, entry }: CiCase): string {
  const lines = ['  ---', `  severity: ${kind}`, `  message: ${JSON.stringify(message)}`];
  if (entry !== null) lines.push(`  entry: ${entry}`);
  return `\n${[...lines, '  ...'].join('\n')}`;
}

/** A number sign would begin a directive. */
function described(text: string): string {
  return oneLine(text).replace(/[\\#]/g, '\\$&');
}

function oneLine(text: string): string {
  return text.replace(/\s+/g, ' ').trim();
}
