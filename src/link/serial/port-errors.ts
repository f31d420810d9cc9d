import { OhmwrightError } from '../../errors/ohmwright-error.ts';

/** Stable codes of errors about a port. */
export type PortErrorCode = 'port.none' | 'port.busy' | 'port.forbidden' | 'port.gone' | 'port.speed' | 'port.failed';

/**
 * What a driver's or a system's prose means. The first row that matches counts; sources: errno
 * texts of POSIX systems and the Windows error texts.
 */
const rows: { pattern: RegExp; code: PortErrorCode }[] = [
  {
    pattern: /cannot lock port|resource busy|device or resource busy|temporarily unavailable|\bEBUSY\b|\bEAGAIN\b/i,
    code: 'port.busy',
  },
  // Windows gives the same words to a port that another program holds
  { pattern: /^opening .*access (is )?denied/i, code: 'port.busy' },
  {
    pattern: /permission denied|operation not permitted|access (is )?denied|\bEACCES\b|\bEPERM\b/i,
    code: 'port.forbidden',
  },
  {
    pattern:
      /no such (file|device)|file not found|device not configured|not a directory|\bENOENT\b|\bENXIO\b|\bENODEV\b/i,
    code: 'port.gone',
  },
  {
    pattern:
      /setting custom baud rate|while (retrieving|setting)|IOSSIOSPEED|inappropriate ioctl|not a tty|invalid argument/i,
    code: 'port.speed',
  },
];

/** What is known about a port beside its error. */
export interface PortCircumstances {
  platform: NodeJS.Platform;
  /** Programs that hold the port, as far as this user may see. */
  holders?: readonly { pid: number; name: string }[];
  /** Group that owns the device file. */
  group?: string | null;
}

/** Returns which kind of trouble a driver's sentence means. */
export function portErrorCode(error: unknown): PortErrorCode {
  const text = error instanceof Error ? error.message : String(error);
  return rows.find((row) => row.pattern.test(text))?.code ?? 'port.failed';
}

/**
 * What a system says of an open port whose device was taken away (errno texts of POSIX systems).
 */
const takenAway =
  /bad file descriptor|input\/output error|i\/o error|device not configured|no such device|\bEBADF\b|\bEIO\b|\bENXIO\b|\bENODEV\b/i;

/** Why an open port ended, when its device is gone: the cable, most of the time. */
export const goneText = 'the port is gone: unplugged?';

/** Returns why an open port ended by itself, in words for a person. */
export function lostText(error: unknown): string {
  const text = error instanceof Error ? error.message : String(error);
  return takenAway.test(text) ? goneText : text;
}

/** Returns the error for a port that can't be opened: what and where, and what to do. */
export function portError(path: string, error: unknown, circumstances: PortCircumstances): OhmwrightError {
  const code = portErrorCode(error);
  const { what, help } = sentences[code](path, error, circumstances);
  return new OhmwrightError(code, what, { help, cause: error });
}

/** Returns the error of no port at all, or of none that has a probe. */
export function noPortError(what: string, help: string): OhmwrightError {
  return new OhmwrightError('port.none', what, { help });
}

type Sentence = (path: string, error: unknown, circumstances: PortCircumstances) => { what: string; help: string };

const lookAgain = 'Check the cable and the name; "ohmwright probes" lists the ports.';

const sentences: Record<PortErrorCode, Sentence> = {
  'port.none': (path) => ({ what: `There is no port ${path}.`, help: lookAgain }),
  'port.gone': (path) => ({ what: `There is no port ${path}.`, help: lookAgain }),
  'port.busy': (path, _error, { holders = [] }) => {
    const by =
      holders.length === 0 ? 'another program' : holders.map(({ name, pid }) => `${name} (process ${pid})`).join(', ');
    return { what: `${path} is in use by ${by}.`, help: 'End it there, then try again.' };
  },
  'port.forbidden': (path, _error, { platform, group = null }) => ({
    what: `You may not open ${path}.`,
    help:
      platform === 'linux'
        ? forbiddenOnLinux(group)
        : 'Ask whoever looks after this computer for access to serial ports.',
  }),
  'port.speed': (path) => ({
    what: `${path} cannot be set to the probe's speed: it is no serial port, or too slow a one.`,
    help: lookAgain,
  }),
  'port.failed': (path, error) => ({
    what: `${path} cannot be opened: ${error instanceof Error ? error.message : String(error)}.`,
    help: 'Unplug it, plug it in and try again; "ohmwright probes" lists the ports.',
  }),
};

function forbiddenOnLinux(group: string | null): string {
  const rule =
    'copy firmware-protocol/70-ohmwright.rules to /etc/udev/rules.d/, run "sudo udevadm control --reload", and plug the probe in again';
  if (group === null || group === 'root') return `To let whoever sits at this computer use it, ${rule}.`;
  return `It belongs to the group ${group}: run "sudo usermod -aG ${group} $USER" and log in again. Or ${rule}.`;
}
