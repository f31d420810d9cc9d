import { Option } from 'commander';
import type { CommandMaker } from '../program/command-maker.ts';
import { force, jobsFolder, json } from '../program/program-options.ts';

/** Adds the commands about records: list, show, verify, report, label, export, key. */
export function addRecordCommands({ command, context, setExit }: CommandMaker): void {
  command(
    'jobs',
    'list the jobs of the jobs folder, all or those asked for',
    'jobs --outcome failed --since 2026-01-01',
  )
    .option('--device <text>', 'in maker, name, revision or serial number')
    .option('--ticket <text>', 'in the ticket number')
    .option('--unit <id>', 'a unit that was found at fault or changed')
    .addOption(
      new Option('--outcome <result>', 'what the job came to').choices([
        'passed',
        'repaired',
        'no-fault-found',
        'failed',
        'inconclusive',
        'abandoned',
        'open',
      ]),
    )
    .option('--open', 'only jobs that are not closed')
    .option('--since <day>', 'latest entry on this day or later (YYYY-MM-DD)')
    .option('--until <day>', 'latest entry on this day or earlier')
    .addOption(json())
    .addOption(jobsFolder())
    .action(async (options) => setExit(await (await import('./jobs.ts')).jobs(options, context)));

  command('show', 'show what stands in a job record', 'show ohmwright-jobs/NAME.owjob')
    .argument('<job>', 'record file, or its name in the jobs folder')
    .addOption(json())
    .addOption(jobsFolder())
    .option('--budget', 'with each reading what its uncertainty is made of')
    .action(async (job, options) => setExit(await (await import('./show.ts')).show(job, options, context)));

  command('verify', 'check the chain of records and derive every outcome again from the raw codes', 'verify *.owjob')
    .argument('<files...>', 'record files, or folders of them')
    .option('--chain-only', 'only the hashes and their order, nothing of what the entries say')
    .option('--key <key>', 'public key of the bench that must have signed them: in base64, or a file with it')
    .option('--label <text>', "what the code on the device's label says: the record must hold that entry")
    .addOption(json())
    .action(async (files, options) => setExit(await (await import('./verify.ts')).verify(files, options, context)));

  command('report', 'write a job as one page for customer, supplier and colleague', 'report JOB --out job.html')
    .argument('<job>', 'record file, or its name in the jobs folder')
    .option('--out <file>', "where it goes (default: named after the job, here); '-' for stdout")
    .option('--csv', 'its readings as comma-separated values instead')
    .addOption(force())
    .addOption(jobsFolder())
    .action(async (job, options) => setExit(await (await import('./report.ts')).report(job, options, context)));

  command('label', 'the label for the bag: a short text for a ticket printer, or a QR code', 'label JOB --width 32')
    .argument('<job>', 'record file, or its name in the jobs folder')
    .addOption(new Option('--width <columns>', "the printer's columns").choices(['32', '48']).default('48'))
    .option('--svg <file>', 'write the QR code of job, result and digest as an SVG picture')
    .addOption(force())
    .addOption(jobsFolder())
    .action(async (job, options) => setExit(await (await import('./export.ts')).label(job, options, context)));

  command('export', 'hand jobs over to other programs and people', 'export JOB --as archive --out job.zip')
    .argument('<jobs...>', 'record files, or their names in the jobs folder')
    .addOption(
      new Option(
        '--as <form>',
        'junit or tap for continuous integration, csv of all readings, one archive of record, guide and report, or the record itself',
      )
        .choices(['junit', 'tap', 'csv', 'archive', 'record'])
        .makeOptionMandatory(),
    )
    .option('--out <file>', 'where it goes (default: stdout)')
    .addOption(force())
    .option('--without-customer', "leave the customer's name and contact out; the record verifies as before")
    .addOption(jobsFolder())
    .action(async (jobs, options) => setExit(await (await import('./export.ts')).exportJobs(jobs, options, context)));

  command('key', 'the public key that this bench signs its records with; made on first use', 'key')
    .option('--pem', 'as PEM, for other programs')
    .addOption(json())
    .action(async (options) => setExit(await (await import('./key.ts')).key(options, context)));
}
