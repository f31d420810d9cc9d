import { intakeFields } from '../../view/job/intake-fields.ts';
import {
  choice,
  choiceOr,
  flag,
  neededText,
  numberOr,
  type OptionsOf,
  setBy,
  text,
  texts,
  wholeNumber,
  without,
} from './option-kinds.ts';

// Options that several commands share, each in one place, so that it reads the same everywhere.

export const json = flag('data as JSON on stdout');
export const force = flag('replace a file that is there already (never a job record)');
export const port = setBy(
  'port',
  text('<path>', "serial port of the probe (default: the one that a probe is on); 'sim:' for the emulated one"),
);
export const jobs = setBy('jobs', text('<folder>', 'jobs folder (default: ./ohmwright-jobs)'));
export const calibrations = setBy(
  'calibrations',
  text('<folder>', 'calibrations folder (default: ./ohmwright-calibrations)'),
);
export const fault = texts('<fault>', 'a fault of the device, as LINK=MODE; may be repeated');
export const seed = numberOr(1, '<n>', 'seed of the emulated probe and of all at its tips', wholeNumber);
/** What options that say the same of several commands begin with. */
export const about = {
  guide: 'guide file',
  between: 'a pair of pads, as PAD,PAD',
  power: 'device power',
  set: 'file of the resistor set',
  probe: "the probe's serial number, as `probes` shows it",
  confidence: 'confidence with which that is said',
  budget: 'what the uncertainty of a reading is made of',
} as const;
/** What names jobs, in every command. */
const jobWords = "record file, folder of them, a job's name, ticket or serial number, or 'last'";
export const jobArgument = ['<job>', jobWords] as const;
export const jobsArgument = ['<jobs...>', jobWords] as const;
export const jobsOrAllArgument = ['[jobs...]', `${jobWords} (default: all of the jobs folder)`] as const;

/** Options of the emulated probe. */
export const simulated = {
  fault,
  seed,
  realTime: flag('the emulated probe keeps pace with the clock (default: as fast as this computer can)'),
};
const device = text(
  '<file>',
  'guide of the emulated device, when it is not the one it is judged by; --fault names its links',
);
export type SimulatorOptions = OptionsOf<typeof simulated>;

/** Options of the page beside the bench. */
export const onPage = {
  page: setBy('page', flag('also show the session on a page in the browser of this computer')),
  pageListen: text(
    '<address>',
    "show the page at this computer's ADDRESS or ADDRESS:PORT, for a tablet beside the device",
  ),
};

/** Options of what is shown on the live screen. */
export const onScreen = {
  plain: flag('lines in place of the screen: for a screen reader, a log, a dumb terminal'),
  ascii: flag('no characters beyond ASCII'),
  background: setBy('background', choice('<kind>', 'background of the terminal', ['dark', 'light'])),
  bell: setBy('bell', flag("the terminal's bell with every outcome, beside the probe's tones")),
  fast: flag("the emulated probe and hands wait for nothing (default: a person's pace)"),
};

/**
 * What is done about a conclusion when nobody says: at a real probe, at the emulated one, in the
 * demo.
 */
export const usualRepair = { bench: 'ask', emulated: 'none', demo: 'first' } as const;

/** How a job is worked: complete settings come of them by `resolveSettings`. */
const working = {
  order: setBy(
    'order',
    choiceOr('information', '<name>', 'order of the checks: what tells most per minute, or as the guide has them', [
      'information',
      'guide',
    ]),
  ),
  repair: choice(
    '<who>',
    `what is done about a conclusion: 'ask' a person, the 'first' step of the plan, or 'none' (default: ${usualRepair.bench}; on the emulated probe: ${usualRepair.emulated}; in the demo: ${usualRepair.demo})`,
    ['ask', 'first', 'none'],
  ),
};

/**
 * Options of a session at the bench.
 *
 * @public benchmarks read them out of the built program
 */
export const session = {
  ...simulated,
  device,
  ...onPage,
  port,
  json,
  jobs,
  calibrations,
  bytes: text('<file>', 'also keep the byte stream of the session in this file'),
  force,
  sign: without("close the record without this bench's signature"),
  acceptCautions: text('<ids>', "cautions read and acknowledged beforehand: 'all', or ids with commas"),
  cautions: setBy(
    'cautions',
    choiceOr('job', '<when>', 'a technician acknowledges the same caution in every job, or once a day', ['job', 'day']),
  ),
  ...working,
};
export type SessionOptions = OptionsOf<typeof session>;

const opening = Object.fromEntries(
  Object.entries(intakeFields).map(([name, { value, about }]) => [name, text(value, about)]),
) as { [Field in keyof typeof intakeFields]: ReturnType<typeof text> };

/** Options that a new job is opened with. */
const newJob = {
  record: text('<file>', 'where the record goes, instead of a new file in the jobs folder'),
  ...opening,
  technician: setBy('technician', opening.technician),
};

/** Options of `demo`. */
export const demoOptions = {
  ...onScreen,
  ...onPage,
  ...simulated,
  json,
  jobs,
  ...working,
  healthy: flag('a device without a fault'),
};
export const startOptions = { ...newJob, ...onScreen, ...session };
export const resumeOptions = { ...onScreen, ...session };
export const runOptions = {
  ...newJob,
  ...session,
  resume: text('<job>', `go on with this job: ${jobWords}`),
};
/** Options of `addendum`. */
export const addendumOptions = {
  ...resumeOptions,
  why: neededText('<text>', 'why the job is added to: the part arrived, what the customer said'),
  returned: flag('the device was away: nothing that was measured before is known to hold'),
  checks: without('only put it on record, and close and sign again; nothing is measured'),
  technician: setBy('technician', text(intakeFields.technician.value, intakeFields.technician.about)),
};
export type AddendumOptions = OptionsOf<typeof addendumOptions>;
export type DemoOptions = OptionsOf<typeof demoOptions>;
export type StartOptions = OptionsOf<typeof startOptions>;
export type ResumeOptions = OptionsOf<typeof resumeOptions>;
export type RunOptions = OptionsOf<typeof runOptions>;
