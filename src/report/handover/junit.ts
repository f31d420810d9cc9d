import { create } from 'xmlbuilder2';
import { type CiJob, ciCases } from './ci-cases.ts';

/**
 * Returns jobs as JUnit XML, as continuous integration reads it: a suite a job, a case a check, one
 * for its record and one for its result.
 */
export function junitXml(jobs: readonly CiJob[]): string {
  const root = create({ version: '1.0', encoding: 'UTF-8' }).ele('testsuites', { name: 'ohmwright' });
  for (const job of jobs) {
    const { state } = job;
    const cases = ciCases(job);
    const count = (kind: string): number => cases.filter((one) => one.kind === kind).length;
    const suite = root.ele('testsuite', {
      name: clean(state.job ?? 'job'),
      tests: cases.length,
      failures: count('failure'),
      errors: count('error'),
      skipped: count('skipped'),
      timestamp: (state.opened?.at ?? '').slice(0, 19),
    });
    for (const { name, kind, message } of cases) {
      const one = suite.ele('testcase', { classname: clean(state.opened?.guide.id ?? 'guide'), name: clean(name) });
      if (kind !== 'passed') one.ele(kind, { message: clean(message) });
    }
  }
  return root.end({ prettyPrint: true });
}

/**
 * XML 1.0 has no way to write most control characters (section 2.2): they become the sign for what
 * can't be shown.
 */
function clean(text: string): string {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: just those are meant
  return text.replace(/[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]/g, '\ufffd');
}
