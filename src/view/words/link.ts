import type { JobSessionState } from '../../session/job/job-session-state.ts';
import { plainLine } from '../text/plain-line.ts';

/** Returns how the link of a job stands: as one plain line, and as a sentence for the screen. */
export function linkWords({ connected, linkText }: Pick<JobSessionState, 'connected' | 'linkText'>) {
  const text = plainLine(linkText);
  if (connected) return { line: `link: ${text}`, sentence: text };
  return {
    line: `link: ${text}; the job is kept, looking for the probe again`,
    sentence: `${text}. The job is kept; the probe is looked for, and this check is asked for again.`,
  };
}
