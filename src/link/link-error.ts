import { type ErrorDetails, OhmwrightError } from '../protocol/ohmwright-error.ts';

/** Stable codes of errors about the link to a probe. */
export type LinkErrorCode =
  | 'link.not-a-probe'
  | 'link.wrong-version'
  | 'link.other-probe'
  | 'link.refused'
  | 'link.no-answer'
  | 'link.reset'
  | 'link.lost'
  | 'link.closed'
  | 'link.recording';

/** What a {@link LinkError} may say beside its sentence. */
export interface LinkErrorDetails extends Partial<ErrorDetails> {
  /** Name of the status with which the probe refused. */
  status?: string;
}

const linkExit = 5;

/** An error about the link to a probe. `status` is set when the probe refused a request. */
export class LinkError extends OhmwrightError {
  declare readonly code: LinkErrorCode;
  readonly status: string | undefined;

  constructor(code: LinkErrorCode, message: string, details: LinkErrorDetails = {}) {
    super(code, message, { exitCode: linkExit, ...details });
    this.name = 'LinkError';
    this.status = details.status;
  }
}
