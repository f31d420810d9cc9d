import { OhmwrightError } from '../protocol/ohmwright-error.ts';
import { statusTable } from '../protocol/table.ts';

const linkExit = 5;

export type LinkErrorCode =
  | 'link.not-a-probe'
  | 'link.wrong-version'
  | 'link.other-probe'
  | 'link.no-answer'
  | 'link.refused'
  | 'link.lost'
  | 'link.closed'
  | 'link.aborted';

/** An error of the link to a probe. `status` is set when the probe refused a request. */
export class LinkError extends OhmwrightError {
  readonly status: string | null;

  constructor(code: LinkErrorCode, message: string, help: string, status: string | null = null) {
    super(code, message, { exitCode: linkExit, help });
    this.name = 'LinkError';
    this.status = status;
  }
}

/** Returns the error of a refused request, in the words of the table. */
export function refusal(request: string, status: string): LinkError {
  const row = Object.entries(statusTable).find(([name]) => name === status)?.[1];
  return new LinkError('link.refused', `The probe refused '${request}': ${row?.help ?? 'for a reason that this program does not know'}.`, '', status);
}
