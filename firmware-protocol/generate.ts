/**
 * Writes the C header and the TypeScript constants from `messages.json`, the one table of the wire protocol.
 * Run: `npm run generate`. A test fails when the committed files differ from what this makes.
 */
import { readFileSync, writeFileSync } from 'node:fs';

export interface MessageTable {
  protocol: { name: string; major: number; minor: number };
  frame: Record<string, number | Record<string, string>>;
  baud: number;
  requests: Record<string, { type: number; fields: [string, string][]; answer: [string, string][] }>;
  notices: Record<string, { type: number; fields: [string, string][] }>;
  answerBit: number;
  status: Record<string, { code: number; help: string }>;
  enums: Record<string, Record<string, number>>;
  flags: Record<string, { bit: number; help: string }>;
  capabilities: Record<string, { bit: number }>;
  ranges: { id: number; sourceOhm: number; gainNormal: number; gainDry: number; note?: string }[];
  frontEnd: Record<string, number>;
  rates: Record<string, { adcPrescaler: number; periodUs: number }>;
  limits: Record<string, number>;
  counts: Record<string, { count: number; who: string; help: string }>;
  timeoutsMs: Record<string, { ms: number; who: string; help: string }>;
}

const origin = 'Made by firmware-protocol/generate.ts from messages.json. Do not edit: run `npm run generate`.';
const snake = (name: string) => name.replace(/([a-z0-9])([A-Z])/g, '$1_$2').toUpperCase();
const bit = (n: number) => 2 ** n;

/** Returns the text of the C header: every code, size, limit and time-out of the table as `OW_...` macros. */
export function cHeader(t: MessageTable): string {
  const rows: [string, string][] = [
    ['OW_PROTO_MAJOR', `${t.protocol.major}`],
    ['OW_PROTO_MINOR', `${t.protocol.minor}`],
    ['OW_BAUD', `${t.baud}UL`],
    ['OW_ANSWER_BIT', `0x${t.answerBit.toString(16)}u`],
  ];
  for (const [name, value] of Object.entries(t.frame))
    if (typeof value === 'number') rows.push([`OW_FRAME_${snake(name)}`, `${value}u`]);
  const codes = (prefix: string, entries: [string, number][]) => {
    for (const [name, value] of entries) rows.push([`${prefix}_${snake(name)}`, `${value}u`]);
  };
  codes(
    'OW_REQ',
    Object.entries(t.requests).map(([n, m]) => [n, m.type]),
  );
  codes(
    'OW_NOTE',
    Object.entries(t.notices).map(([n, m]) => [n, m.type]),
  );
  codes(
    'OW_STATUS',
    Object.entries(t.status).map(([n, s]) => [n, s.code]),
  );
  for (const [name, members] of Object.entries(t.enums)) codes(`OW_${snake(name)}`, Object.entries(members));
  codes(
    'OW_FLAG',
    Object.entries(t.flags).map(([n, f]) => [n, bit(f.bit)]),
  );
  codes(
    'OW_CAP',
    Object.entries(t.capabilities).map(([n, c]) => [n, bit(c.bit)]),
  );
  codes(
    'OW_RATE_PERIOD_US',
    Object.entries(t.rates).map(([n, r]) => [n, r.periodUs]),
  );
  codes(
    'OW_TIMEOUT_MS',
    // in C the counts keep the prefix that they were published with
    [
      ...Object.entries(t.timeoutsMs).map(([n, v]): [string, number] => [n, v.ms]),
      ...Object.entries(t.counts).map(([n, v]): [string, number] => [n, v.count]),
    ],
  );
  rows.push(['OW_RANGE_COUNT', `${t.ranges.length}u`]);
  for (const [name, value] of [...Object.entries(t.frontEnd), ...Object.entries(t.limits)]) {
    if (name.endsWith('Volt')) rows.push([`OW_${snake(name).replace(/_VOLT$/, '_MV')}`, `${Math.round(value * 1000)}`]);
    else rows.push([`OW_${snake(name)}`, `${value}u`]);
  }
  const width = Math.max(...rows.map(([n]) => n.length));
  const lines = rows.map(([n, v]) => `#define ${n.padEnd(width)} ${v}`);
  return `/* ${origin} */\n#ifndef OW_PROTOCOL_TABLE_H\n#define OW_PROTOCOL_TABLE_H\n\n${lines.join('\n')}\n\n#endif\n`;
}

/** Returns the text of `src/protocol/table.ts`: the same table as typed constants. */
export function tsConstants(t: MessageTable): string {
  const literal = (value: unknown) => JSON.stringify(value, null, 2).replace(/"([A-Za-z_][A-Za-z0-9_]*)":/g, '$1:');
  const bits = (o: Record<string, { bit: number }>) =>
    Object.fromEntries(Object.entries(o).map(([n, f]) => [n, bit(f.bit)]));
  const block = (name: string, doc: string, value: unknown) =>
    `/** ${doc} */\nexport const ${name} = ${literal(value)} as const;\n`;
  return [
    `// ${origin}\n// biome-ignore-all format: made by a program, read by programs\n`,
    block('protocolVersion', 'Version this host speaks.', { major: t.protocol.major, minor: t.protocol.minor }),
    block('frameTable', 'SLIP bytes (RFC 1055) and payload sizes in bytes.', t.frame),
    block('baudRate', 'Line speed in baud, 8N1.', t.baud),
    block('answerBit', 'Set in the type of an answer.', t.answerBit),
    block(
      'requestTable',
      'Requests: type code, fields of the body, fields of the answer after its status byte.',
      t.requests,
    ),
    block('noticeTable', 'What the probe sends unasked: type code and fields.', t.notices),
    block('statusTable', 'Status codes of an answer, with what each means.', t.status),
    block('enumTable', 'Field values by name.', t.enums),
    block('flagBits', 'Bits of the readings flags.', bits(t.flags)),
    block('capabilityBits', 'Bits of the hello capabilities.', bits(t.capabilities)),
    block(
      'rangeTable',
      'Measuring ranges: source resistor in ohm and gain at each level (0: level not offered).',
      t.ranges,
    ),
    block('frontEndTable', 'Nominal front end: volts, ohms, converter codes.', t.frontEnd),
    block('rateTable', 'Reading rates: converter clock divider and reading period in microseconds.', t.rates),
    block('limitTable', 'Limits of field values, in the unit of the name.', t.limits),
    block('countTable', 'How often something is done, and by whom.', t.counts),
    block('timeoutTable', 'Time-outs in milliseconds, and whose they are.', t.timeoutsMs),
  ].join('\n');
}

/** Returns the committed outputs as [path, text] pairs. */
export function outputs(): [URL, string][] {
  const table = JSON.parse(readFileSync(new URL('messages.json', import.meta.url), 'utf8')) as MessageTable;
  return [
    [new URL('firmware/core/protocol_table.h', import.meta.url), cHeader(table)],
    [new URL('../src/protocol/table.ts', import.meta.url), tsConstants(table)],
  ];
}

if (import.meta.main) for (const [path, text] of outputs()) writeFileSync(path, text);
