import type { ListedCommand } from './listed-command.ts';

/** Under what `--help` lists a command: what a person wants to do. In the order of the help. */
export const groups: Readonly<Record<string, readonly string[]>> = {
  Begin: ['demo', 'example', 'doctor', 'probes', 'meter', 'config', 'complete'],
  'Work a job': ['start', 'resume', 'run', 'photo', 'addendum'],
  'Look at jobs and hand them over': ['jobs', 'show', 'verify', 'report', 'label', 'export', 'key', 'schema'],
  'Write a guide, and ask it': ['guide', 'learn', 'compare', 'suspects', 'priors', 'limits'],
  'Keep what a shop knows': ['ledger'],
  'Trust the probe': ['calibrate', 'health'],
  'Work without a probe': ['sim', 'replay'],
};

/**
 * Every command, in the order of the help. A declaration is loaded when its command is called, so
 * `--help` starts fast.
 */
export const commandList: readonly ListedCommand[] = [
  {
    name: 'demo',
    about: 'run the main job on the emulated probe and find a fault',
    load: () => import('../job/demo-command.ts'),
  },
  {
    name: 'probes',
    about: 'list ports and the probes on them, and what keeps one from being opened',
    load: () => import('../tools/probes-command.ts'),
  },
  {
    name: 'doctor',
    about: 'say what keeps this bench from its work, and what mends it',
    load: () => import('../first-use/doctor-command.ts'),
  },
  {
    name: 'example',
    about: 'list the examples that come with the program, or copy them into the folder examples here',
    load: () => import('../first-use/example-command.ts'),
  },
  {
    name: 'complete',
    about: 'print what completes words in a shell: complete bash, zsh, fish or powershell',
    example: 'complete bash > ~/.local/share/bash-completion/completions/ohmwright',
  },
  { name: 'meter', about: 'show the reading at the tips', load: () => import('../tools/meter-command.ts') },
  {
    name: 'start',
    about: 'open a job by a guide and work it on the live screen (in a pipe: as lines)',
    load: () => import('../job/start-command.ts'),
  },
  {
    name: 'resume',
    about: 'go on with a job where its record stands, on the live screen',
    load: () => import('../job/resume-command.ts'),
  },
  {
    name: 'run',
    about: 'run a job by a guide, or go on with one, told in plain lines',
    load: () => import('../job/run-command.ts'),
  },
  {
    name: 'photo',
    about: 'add a photo that was taken at a check to an open job, without place and device data',
    load: () => import('../pictures/photo-command.ts'),
  },
  {
    name: 'addendum',
    about: 'add to a closed job: a part that came later, or a device that came back',
    load: () => import('../job/addendum-command.ts'),
  },
  {
    name: 'jobs',
    about: 'list the jobs of the jobs folder, all or those asked for',
    load: () => import('../records/jobs-command.ts'),
  },
  { name: 'show', about: 'show what stands in a job record', load: () => import('../records/show-command.ts') },
  {
    name: 'verify',
    about: 'check that nothing in records was changed, and work every outcome out again from the raw codes',
    load: () => import('../records/verify-command.ts'),
  },
  {
    name: 'report',
    about: 'write a job as one page for customer, supplier and colleague',
    load: () => import('../records/report-command.ts'),
  },
  {
    name: 'label',
    about: 'the label for the bag: a short text for a ticket printer, or a QR code',
    load: () => import('../records/label-command.ts'),
  },
  {
    name: 'export',
    about: 'hand jobs over to other programs and people',
    load: () => import('../records/export-command.ts'),
  },
  {
    name: 'key',
    about: 'the public key that this bench signs its records with; made on first use',
    load: () => import('../records/key-command.ts'),
  },
  {
    name: 'config',
    about: 'what counts at this bench when no option says it',
    example: 'config set technician "M. Example"',
  },
  {
    name: 'config list',
    about: 'every setting, its value, and where that comes from',
    load: () => import('../settings/config-list-command.ts'),
  },
  { name: 'config get', about: 'the value of one setting', load: () => import('../settings/config-get-command.ts') },
  { name: 'config set', about: 'write one setting', load: () => import('../settings/config-set-command.ts') },
  {
    name: 'config unset',
    about: 'take one setting out of its file',
    load: () => import('../settings/config-unset-command.ts'),
  },
  {
    name: 'suspects',
    about: 'say which fault is likeliest after readings taken by hand, and which check to do next',
    load: () => import('../guides/suspects-command.ts'),
  },
  {
    name: 'priors',
    about: "count the faults that repaired jobs confirm, and propose a guide's weights from them",
    load: () => import('../guides/priors-command.ts'),
  },
  {
    name: 'guide',
    about: 'begin a device guide, check it, or predict what its checks read',
    example: 'guide new my-device.yaml',
  },
  {
    name: 'guide check',
    about: 'find errors in guide files, with line and column, and say what their checks are able to find',
    load: () => import('../guides/guide-check-command.ts'),
  },
  {
    name: 'guide predict',
    about: 'print what the circuit predicts for every check, or for the pairs asked',
    load: () => import('../guides/guide-predict-command.ts'),
  },
  {
    name: 'guide new',
    about: 'write a commented guide to begin from, which passes guide check',
    load: () => import('../guides/guide-new-command.ts'),
  },
  {
    name: 'learn',
    about: 'measure a known-good unit by a table of its lines, and write the guide that they make',
    load: () => import('../learn/learn-command.ts'),
  },
  {
    name: 'compare',
    about: 'read the same pads on two units, or the pads of two keys, and rank the differences; no guide is needed',
    load: () => import('../learn/compare-command.ts'),
  },
  {
    name: 'ledger',
    about: 'keep the jobs of all benches together, and ask them',
    example: 'ledger add ohmwright-jobs',
  },
  {
    name: 'ledger add',
    about: 'take job records into the ledger; only what verifies in full is counted',
    load: () => import('../ledger/ledger-add-command.ts'),
  },
  {
    name: 'ledger example',
    about: 'make the jobs of an invented shop on the emulated probe, to try the ledger with',
    load: () => import('../ledger/ledger-example-command.ts'),
  },
  {
    name: 'ledger history',
    about: 'say what was found and done to a unit before, by its serial number',
    load: () => import('../ledger/ledger-history-command.ts'),
  },
  {
    name: 'ledger check',
    about: 'hold the ledger against its records: nothing gone, every number what the records come to',
    load: () => import('../ledger/ledger-check-command.ts'),
  },
  {
    name: 'ledger rebuild',
    about: 'make the database of the ledger anew from its records',
    load: () => import('../ledger/ledger-rebuild-command.ts'),
  },
  {
    name: 'calibrate',
    about: 'calibrate a probe against known resistors, hands-free, on the live screen (in a pipe: as lines)',
    load: () => import('../calibration/calibrate-command.ts'),
  },
  {
    name: 'calibrate fit',
    about: 'fit measured points and tell how far they can be relied on; writes nothing',
    load: () => import('../calibration/calibrate-fit-command.ts'),
  },
  {
    name: 'limits',
    about: "propose limits for a guide's checks from known-good units",
    load: () => import('../statistics/limits-command.ts'),
  },
  {
    name: 'limits presses',
    about: 'how many presses show what: success runs, and how often a sequential test accepts and rejects',
    load: () => import('../statistics/limits-presses-command.ts'),
  },
  {
    name: 'health',
    about: "chart a probe's proofs over time, and say when a drift began",
    load: () => import('../statistics/health-command.ts'),
  },
  {
    name: 'schema',
    about: 'the JSON Schema of what a command prints with --json',
    load: () => import('../tools/schema-command.ts'),
  },
  {
    name: 'sim',
    about: 'serve the emulated probe on a pseudo-terminal that any program can open',
    load: () => import('../tools/sim-command.ts'),
  },
  {
    name: 'replay',
    about: 'decode a recorded byte stream again, with the same verdicts',
    load: () => import('../tools/replay-command.ts'),
  },
];
