#!/usr/bin/env node
// Only this file runs under a Node.js that may be too old: it imports nothing before it has looked.
const needed = [22, 13] as const;
const [major = 0, minor = 0] = process.versions.node.split('.').map(Number);
if (major < needed[0] || (major === needed[0] && minor < needed[1])) {
  process.stderr.write(
    `ohmwright needs Node.js ${needed[0]}.${needed[1]} or newer, and this is ${process.versions.node}: ` +
      'start it with `npx ohmwright` in the checkout (after `npm ci` it brings its own runtime), or install a newer Node.js.\n',
  );
  process.exitCode = 2;
} else {
  const words = process.argv.slice(2);
  if (words.length === 1 && ['--help', '-h', 'help'].includes(words[0]!)) {
    const { printHelp } = await import('./start-up/print-help.ts');
    printHelp(process);
  } else {
    const { keepCompiled } = await import('./start-up/compile-cache.ts');
    keepCompiled();
    const { runCli } = await import('./program/program.ts');
    process.exitCode = await runCli(words);
  }
}

export {};
