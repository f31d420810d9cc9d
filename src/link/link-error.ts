import { type ErrorDetails, OhmwrightError } from '../errors/ohmwright-error.ts';

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

/** What the sentence of a {@link LinkError} tells, as data. */
interface LinkFacts {
  /** Bytes and whole frames that came from what is no probe. */
  heard?: { bytes: number; frames: number };
  /** Protocol versions as `major.minor`: the probe's and this program's. */
  versions?: { theirs: string; ours: string };
  /** Why the link broke. */
  why?: string;
}

/** What a {@link LinkError} may say beside its sentence. */
export interface LinkErrorDetails extends Partial<ErrorDetails> {
  /** Name of the status with which the probe refused. */
  status?: string;
  facts?: LinkFacts;
}

/** An error about the link to a probe. `status` is set when the probe refused a request. */
export class LinkError extends OhmwrightError {
  declare readonly code: LinkErrorCode;
  readonly status: string | undefined;
  readonly facts: LinkFacts;

  constructor(code: LinkErrorCode, message: string, details: LinkErrorDetails = {}) {
    super(code, message, { ...details });
    this.name = 'LinkError';
    this.status = details.status;
    this.facts = details.facts ?? {};
  }
}

/**
 * Returns the error of a link that has broken, with the port and the reason where they are known.
 */
export function linkLost(path?: string, why?: string): LinkError {
  const what =
    path === undefined ? 'The link to the probe is lost.' : `The link to the probe on ${path} is lost: ${why}.`;
  return new LinkError('link.lost', what, {
    help: 'Check the cable. What was captured is kept; the job can be resumed.',
    facts: why === undefined ? {} : { why },
  });
}

/** Returns the error of a link that this program has closed. */
export function linkClosed(): LinkError {
  return new LinkError('link.closed', 'The link to the probe is closed.');
}

/** Returns the error of a request that a restart of the probe has overtaken. */
export function probeRestarted(): LinkError {
  return new LinkError('link.reset', 'The probe restarted, and lost what it was set to.', {
    help: 'It is set anew as soon as it answers.',
  });
}
