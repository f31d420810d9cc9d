import { type Dimension, exampleQuantity } from '../file/quantity.ts';

/** Arguments of a problem's sentence; `name` is the field or thing it is about. */
export type WordArgs = Readonly<Record<string, string>>;
type Words = (args: WordArgs) => [what: string, help: string];

const example = (args: WordArgs): string => exampleQuantity[(args.dimension ?? 'ohm') as Dimension] ?? '2 ohm';
const unitName: Record<string, string> = { ohm: 'ohm', volt: 'V', second: 's' };

/**
 * The sentence for each problem code: what is wrong, and what to do. Tests assert codes; people
 * read these.
 */
const words = {
  'yaml.syntax': (a) => [
    `this is not YAML: ${a.reason}`,
    'mend the line; a text with a colon or a # in it needs quotes',
  ],
  'short.cell': (a) => [
    `'${a.word}' can't stand in a cell of the table`,
    'write points in signal order, and what lies between in brackets: S1 (joint 25 mohm) . J1',
  ],
  'short.link-words': (a) => [
    `'${a.word}' says nothing of a link`,
    'say kind, ohms and spread or max, as in: spring 60 mohm max 120 mohm',
  ],
  'short.joint': (a) => [`'${a.pair}' does not name two units`, `write UNIT/UNIT, of ${a.units}`],
  'short.joint-missing': (a) => [
    `line '${a.line}' goes on in another unit, and nothing says what joins ${a.pair}`,
    `add it to joints, as in ${a.pair}: connector`,
  ],
  'short.unit': (a) => [`there is no unit '${a.unit}' for this cell`, `the units are ${a.units}`],
  'short.unit-apart': (a) => [
    `nothing joins unit '${a.unit}' to the others`,
    'give a line of it a cell in another unit',
  ],
  'short.twice': (a) => [
    `point '${a.point}' stands in two cells (also in line ${a.line}, unit ${a.unit})`,
    'a pad is in one place: name the other one',
  ],
  'short.no-pad': (a) => [`no tip reaches line '${a.line}'`, 'put a pad into one of its cells'],
  'short.pad': (a) => [`'${a.name}' does not say where the pad is`, 'write a text, or a mapping of where and in'],
  'short.pad-unknown': (a) => [`pad '${a.pad}' is not described${a.near ?? ''}`, 'say under pads where it is'],
  'short.pad-nowhere': (a) => [`pad '${a.pad}' stands in no cell`, 'put it into the cell of its line and unit'],
  'short.point': (a) => [`no cell has a point '${a.point}'`, 'name a pad, or a point that stands in a cell as .NAME'],
  'short.ground': () => ['a load goes to ground, and the guide has none', 'write ground: and the point or the line'],
  'short.threshold': (a) => [
    `nothing says below which voltage '${a.point}' answers`,
    'write below: and the voltage, or a pull-up to a point with a supply',
  ],
  'short.key-joins': (a) => [`key '${a.key}' joins nothing`, 'write joins: [A, B], two points or two lines'],
  'short.key-end': (a) => [`key '${a.key}' ends at '${a.end}', which is no point and no line`, 'name one of the table'],
  'short.key-apart': (a) => [
    `${a.a} and ${a.b} never meet in one unit, so key '${a.key}' can't join them`,
    'give both a point in the unit of the key',
  ],
  'short.near': () => ['neighbours are pairs of lines', 'write near: { UNIT: [[LINE, LINE]] }'],
  'short.near-apart': (a) => [`lines ${a.a} and ${a.b} are not both in unit '${a.unit}'`, 'name two lines of the unit'],
  'short.open': (a) => [`no line passes a joint '${a.pair}'`, 'name a joint of the table as UNIT/UNIT'],
  'pad.reach': (a) => [
    `pad '${a.pad}' can't be reached in this state`,
    `it can in ${a.states}; change the state of the check, or the pad's in`,
  ],
  'yaml.size': (a) => [`the file has ${a.size} characters`, `a guide has ${a.most} at most; is this the right file?`],
  'yaml.empty': () => ['the file is empty', 'a guide begins with guide: 1; see examples/'],
  'yaml.aliases': () => ['the file expands its aliases too often', 'write the repeated parts out'],
  'version.wrong': (a) => [
    `the guide format ${a.written ?? ''} is not known`.replace('  ', ' '),
    'this program reads guide: 1',
  ],
  'field.missing': (a) => [`'${a.name}' is missing`, `add ${a.name}`],
  'field.unknown': (a) => [
    `'${a.key}' is not a field here${a.near ?? ''}`,
    'rename it or take it out; a text with a comma in it needs quotes',
  ],
  'field.type': (a) => [`'${a.name}' must be ${a.expected}`, 'see the field in examples/ or in guide.schema.json'],
  'field.choice': (a) => [`'${a.name}' is ${a.written}${a.near ?? ''}`, `choose one of ${a.values}`],
  'field.range': (a) => [`'${a.name}' is out of range`, `it must be ${a.bounds}`],
  'field.invalid': (a) => [`'${a.name}' can't be used: ${a.reason}`, 'see the field in guide.schema.json'],
  'text.needed': (a) => [`'${a.name}' must be a text, but is ${a.written}`, `write it in quotes: "${a.written}"`],
  'text.empty': (a) => [`'${a.name}' is empty`, 'say it in a few words'],
  'id.form': (a) => [`'${a.written}' can't be an id`, 'use letters, digits, and _ . + - inside, with no blanks'],
  'list.needed': (a) => [`'${a.name}' must be a list`, 'begin each item with - on a line of its own'],
  'list.empty': (a) => [`'${a.name}' is empty`, 'give at least one'],
  'nodes.few': () => ['a circuit needs two nodes', 'name the points that the links join'],
  'nodes.many': () => ['a circuit may have 2000 nodes', 'join nodes that no check tells apart'],
  'pads.few': () => ['a guide needs two pads', 'name the points that the tips can touch'],
  'pads.form': () => ['a check needs two pads', 'write pads: [PAD_FOR_TIP_A, PAD_FOR_TIP_B]'],
  'pads.same': () => ['both tips would be on the same pad', 'name two pads'],
  'between.form': () => ['an interface lies between two units', 'write between: [UNIT, UNIT]'],
  'minutes.form': (a) => [`'${a.name}' must be minutes from 0 to 1440, as a plain number`, `write ${a.name}: 2`],
  'price.form': (a) => [
    `'${a.name}' must be 0 or more, as a plain number`,
    `write ${a.name}: 12.50, and the currency once for the guide`,
  ],
  'count.form': (a) => [`'${a.name}' must be a whole number in its range`, `write ${a.name}: 10`],
  'percent.form': (a) => [
    `'${a.name}' must be a percentage${a.most === undefined ? '' : ` from ${a.least} to ${a.most} %`}`,
    `write ${a.name}: 20 %`,
  ],
  'factor.form': (a) => [`'${a.name}' must be a plain number from 1.1 to 1000`, `write ${a.name}: 2`],
  'weight.form': (a) => [`'${a.name}' must be a weight of 0 or more, as a plain number`, `write ${a.name}: 2`],
  'level.form': () => ['the level is normal or dry', 'write level: normal'],
  'power.bridge': () => ['a bridge is closed on the live device', 'write power: on, or take it out'],
  'power.ohms': () => ['ohms are measured on a device that is switched off', 'write power: off, or take it out'],
  'power.form': () => ['power is off or on', 'write power: off'],
  'answer.form': () => ['the passing answer is yes or no', 'write passAnswer: yes'],
  'fault.form': (a) => [
    `'${a.written}' does not name a fault`,
    'write LINK=open, LINK=high, LINK=short, LINK=film, LINK=weak, LINK=intermittent, LINK=stuck, LINK=leaky or LINK=welded',
  ],
  'revisions.none': () => ['the guide holds for no revision', 'name at least one under revisions: holds'],
  'place.share': (a) => [
    `'${a.name}' is ${a.written}, which lies outside the picture`,
    'give the share of the width or height, from 0 to 1',
  ],
  'picture.file': (a) => [
    `'${a.written}' can't be a picture of a guide`,
    'name a PNG, JPEG, WebP or SVG file beside the guide, or in a folder beside it',
  ],
  'picture.unused': (a) => [`no pad has its place on picture '${a.id}'`, 'place pads on it, or take it out'],
  'picture.refused': (a) => [`picture '${a.id}' can't be shown: ${a.why}`, a.help ?? ''],
  'pad.no-place': (a) => [
    `pad '${a.id}' has its place on no picture`,
    'give it its place, as in at: { picture: PICTURE, x: 0.42, y: 0.17 }',
  ],
  'units.missing': (a) => [`'${a.name}' is ${a.written} with no unit`, `say what it is of, as in ${example(a)}`],
  'units.wrong': (a) => [`'${a.written}' is not in ${unitName[a.dimension ?? 'ohm']}`, `write it as in ${example(a)}`],
  'number.comma': (a) => [`'${a.written}' has a decimal comma`, 'write a point: 0.2 ohm'],
  'number.bad': (a) => [`'${a.written}' is not a number with a unit`, `write it as in ${example(a)}`],
  'quantity.small': (a) => [
    `'${a.name}' is ${a.written}, which is too little`,
    `the least is ${a.least} ${unitName[a.dimension ?? 'ohm']}`,
  ],
  'quantity.large': (a) => [
    `'${a.name}' is ${a.written}, which is too much`,
    `the most is ${a.most} ${unitName[a.dimension ?? 'ohm']}`,
  ],
  'limits.form': (a) => [
    `'${a.name}' does not say what may be measured`,
    a.dimension === 'volt'
      ? "write '1.7..1.95 V', '3.3 V +- 5 %', or min and max"
      : "write '0.2..0.6 ohm', 'max 2 ohm', or min and max",
  ],
  'limits.unmeetable': (a) => [`nothing can meet these limits: ${a.why}`, 'correct the limits'],
  'limits.beyond-probe': (a) => [
    `the ${a.side} of ${a.limit} is above what the probe can measure (${a.end})`,
    `set it to ${a.end} or less: a check that can't be measured can't pass`,
  ],
  'dwell.range': (a) => [
    `no touch can be watched with this dwell: ${a.reason}`,
    'give it from 1 ms to 10 s; for a touch that is held for longer, write a steady check',
  ],
  'dwell.idle': (a) => [
    `a check of kind ${a.kind} waits for no touch to settle, so its dwell does nothing`,
    'take the dwell out',
  ],
  'limits.milli': (a) => [
    `'${a.written}' is thousandths of an ohm`,
    "if you mean megohm, write it with a capital M, as in '1 Mohm'",
  ],
  'limits.zero-min': () => [
    'a minimum of 0 or less asks for nothing: no resistance is below it',
    'take the minimum out',
  ],
  'id.twice': (a) => [
    `the id '${a.id}' is there twice among the ${a.list} (first on line ${a.first})`,
    'give each its own id',
  ],
  'id.shadow': (a) => [
    `pad '${a.id}' has the name of a node that it is not on`,
    'rename the pad, or put it on that node',
  ],
  'ref.unknown': (a) => [`there is no ${a.kind} '${a.id}'${a.near}`, `name one of the ${a.list} of this guide`],
  'ref.same': (a) => [`link '${a.id}' begins and ends at the same node`, 'give it two nodes, or take it out'],
  'link.owner': (a) => [
    `link '${a.id}' ${a.both === 'yes' ? 'has a unit and is between two' : 'belongs to nothing'}`,
    'say either unit: UNIT, or between: [UNIT, UNIT]',
  ],
  'link.spread': (a) => [`link '${a.id}' has both a spread and a max`, 'keep one of them'],
  'link.max': (a) => [
    `the max of link '${a.id}' is not above its ohm`,
    'the max is what nearly every healthy one stays below',
  ],
  'link.weights': (a) => [
    `every way in which link '${a.id}' can fail has a weight of 0`,
    'leave one above 0, or take the weights out',
  ],
  'link.near': (a) => [`link '${a.id}' begins at '${a.node}': a short needs another node`, 'name a neighbour'],
  'link.short-nowhere': (a) => [
    `link '${a.id}' weighs its short, but says nothing of where it may go`,
    'add near: [NODE], or take the weight out',
  ],
  'link.normally': (a) => [`link '${a.id}' is a ${a.kind}, and only a switch is normally closed`, 'take normally out'],
  'key.not-switch': (a) => [
    `key '${a.id}' works link '${a.link}', which is not a switch`,
    'name a link of kind switch',
  ],
  'fault.cannot': (a) => [`link '${a.link}' is a ${a.kind}, which can't be ${a.mode}`, `it can be ${a.modes}`],
  'rail.no-ground': () => ['the guide has rails, but no ground to count volts from', 'add ground: NODE'],
  'rail.on-ground': (a) => [`rail '${a.id}' drives the ground`, 'put it on the node it feeds'],
  'revision.both': (a) => [`revision '${a.revision}' is both held and refused`, 'keep it in one of the two lists'],
  'caution.power': () => [
    'checks are done with power on, and no caution is shown before that',
    'add a caution with when: power-on',
  ],
  'caution.lithium': (a) => [
    `unit '${a.id}' has a lithium cell, and no caution speaks of it`,
    'add a caution that says lithium: no shorts, no piercing, no swollen cells',
  ],
  'caution.opened': () => [
    'checks need the device opened, and no caution is shown before that',
    'add a caution with when: opened',
  ],
  'power.on-for-ohms': () => ['ohms are measured on a device that is switched off', 'write power: off'],
  'power.no-rails': () => [
    'a check is done with power on, but the circuit has no rails',
    'add the rails, or write power: off',
  ],
  'pads.apart': (a) => [
    `nothing joins pads '${a.a}' and '${a.b}' even with no fault, so the check can't see its maximum`,
    'add the links between them, or give the check a minimum',
  ],
  'circuit.cut': (a) => [
    `the circuit is in ${a.count} parts; no link reaches ${a.nodes} from the rest`,
    'add the missing links, if they belong together',
  ],
  'healthy.outside': (a) => [
    `a healthy device reads ${a.predicted}, which is outside the check's own limits`,
    'correct the circuit or the limits',
  ],
  'healthy.near': (a) => [
    `a healthy device reads ${a.predicted}, so near to a limit that its spread of ${a.spread} often takes it across`,
    'widen the limits or correct the spread',
  ],
  'healthy.film': (a) => [
    `a healthy device reads ${a.dry} dry and ${a.predicted} at the normal level, which would count as a film`,
    'correct the circuit or the factor',
  ],
  'healthy.no-closure': (a) => [
    `pressing the key takes the pads from ${a.released} to ${a.predicted}: no closure to count`,
    'choose pads across the key',
  ],
  'bridge.idle-zero': () => [
    'the idle limits hold 0 V, and a voltage that may be none cannot collapse',
    'ask for an idle voltage well off 0: idle: 1.65..1.95 V',
  ],
  'bridge.unproven': (a) => [
    `in a healthy device the closure leaves ${a.closed} of ${a.idle}, more than the ${a.share} % that prove it`,
    'choose pads with a higher resistance behind them, or raise collapse',
  ],
  'bridge.no-response': (a) => [
    `closing these pads does not make a healthy device's input '${a.input}' respond`,
    'choose the pads of its key, or correct the circuit',
  ],
  'bridge.responds-before': (a) => [
    `a healthy device's input '${a.input}' responds before the pads are closed`,
    'take the keys out of pressed, or correct the threshold',
  ],
  'bridge.current': (a) => [
    `the closure would carry ${a.current}, which is a supply's and not a key's (${a.most} at most)`,
    'never bridge a supply: choose the pads of a key',
  ],
  'presses.all-may-be-bad': (a) => [`${a.maxBad} bad presses of ${a.count} still pass`, 'allow fewer'],
  'look.sees-nothing': () => [
    'this question is answered by no fault',
    'name what the eye finds under sees: [LINK=MODE]',
  ],
  'cover.large': () => [
    'the guide is too large to be gone through fault by fault',
    'look for checks that nothing changes among the figures below',
  ],
  'check.blind': () => ['no fault of any link changes this check', 'choose other pads or limits, or take it out'],
  'link.unseen': (a) => [`no check sees link '${a.id}' open`, 'add a check across it'],
  'unit.unused': (a) => [`unit '${a.id}' has no link, so nothing can be blamed on it`, 'add its links'],
  'repair.none': (a) => [`no repair mends link '${a.id}'`, 'add a repair that fixes it'],
} satisfies Record<string, Words>;

/** Returns what is wrong and what to do, for a problem code; an unknown code speaks for itself. */
export function problemWords(code: string, args: WordArgs): { what: string; help: string } {
  const [what, help] = (words as Record<string, Words>)[code]?.(args) ?? [code, 'see guide.schema.json'];
  return { what, help };
}
