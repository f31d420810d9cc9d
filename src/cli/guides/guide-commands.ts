import { Option } from 'commander';
import type { CommandMaker } from '../program/command-maker.ts';
import { collect, faults, force, jobsFolder, json } from '../program/program-options.ts';

/** Adds the commands about device guides and what follows from them without a probe. */
export function addGuideCommands({ command, context, setExit }: CommandMaker): void {
  command(
    'suspects',
    'say which fault is likeliest after readings taken by hand, and which check to do next',
    'suspects examples/field-recorder.yaml --reading spring-a=open --observed look-pads=yes',
  )
    .argument('<guide>', 'guide file')
    .option('--reading <value>', 'CHECK=VALUE, as spring-a=0.3ohm, spring-a=open, idle=1.8V; may be repeated', collect)
    .option('--observed <answer>', 'CHECK=yes|no|unsure, of a bridge also unproven; may be repeated', collect)
    .option('--skip <check>', 'a check that is not to be proposed; may be repeated', collect)
    .addOption(new Option('--power <state>', 'how the device stands now').choices(['on', 'off']))
    .option('--access <id>', "the state of disassembly that it is in now, or 'closed'")
    .addOption(json())
    .action(async (file, options) => setExit(await (await import('./suspects.ts')).suspects(file, options, context)));

  command(
    'priors',
    "count the faults that repaired jobs confirm, and propose a guide's weights from them",
    'priors ohmwright-jobs/*.owjob --guide my-device.yaml --write my-device-2.yaml',
  )
    .argument('<jobs...>', 'record files, or their names in the jobs folder')
    .requiredOption('--guide <file>', 'the guide whose weights are proposed')
    .option('--write <file>', 'after showing them, write the guide with these weights into this new file')
    .addOption(force())
    .option('--emulated', 'count jobs on the emulated probe too')
    .addOption(json())
    .addOption(jobsFolder())
    .action(async (jobs, options) => setExit(await (await import('./priors.ts')).priors(jobs, options, context)));

  const guide = command('guide', 'begin a device guide, check it, or predict what its checks read', 'guide check FILE');
  guide
    .command('check')
    .description('find errors in guide files, with line and column, and say what their checks are able to find')
    .argument('<files...>', 'guide files')
    .addOption(json())
    .addHelpText('after', '\nExample:\n  ohmwright guide check examples/field-recorder.yaml\n')
    .action(async (files, options) =>
      setExit(await (await import('./guide-check.ts')).guideCheck(files, options, context)),
    );
  guide
    .command('predict')
    .description('print what the circuit predicts for every check, or for the pairs asked')
    .argument('<file>', 'guide file')
    .addOption(faults())
    .addOption(new Option('--power <state>', 'device power for --between').choices(['on', 'off']).default('off'))
    .option('--between <pads>', 'a pair of pads, as PAD,PAD; may be repeated', collect)
    .option('--bridge <pads>', 'join this pair of pads, as PAD,PAD')
    .option('--pressed <key>', 'a key held down; may be repeated', collect)
    .addOption(json())
    .addHelpText(
      'after',
      '\nExample:\n  ohmwright guide predict examples/field-recorder.yaml --fault trace-a=open --between S1,J1\n',
    )
    .action(async (file, options) =>
      setExit(await (await import('./guide-predict.ts')).guidePredict(file, options, context)),
    );

  guide
    .command('new')
    .description('write a commented guide to begin from, which passes guide check')
    .argument('[file]', 'new file; without one, the guide is printed')
    .addHelpText('after', '\nExample:\n  ohmwright guide new my-device.yaml\n')
    .addOption(force())
    .action(async (file, options) => setExit(await (await import('./guide-new.ts')).guideNew(file, options, context)));
}
