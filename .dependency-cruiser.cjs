// The arrows of the house. Each room names the rooms that it may import; everything else is refused.
const ground = ['errors', 'ports', 'statistics', 'protocol'];
const measuring = [...ground, 'measure'];
const rooms = {
  errors: [],
  ports: [],
  statistics: [],
  protocol: ['errors'],
  files: ['errors'],
  link: ['errors', 'ports', 'protocol', 'files'],
  measure: ground,
  guide: [...measuring, 'files'],
  checks: [...measuring, 'guide'],
  isolate: [...measuring, 'guide', 'checks'],
  learn: [...measuring, 'guide', 'checks', 'isolate'],
  calibrate: [...measuring, 'files'],
  record: [...measuring, 'guide', 'checks', 'files'],
  verify: [...measuring, 'files', 'guide', 'checks', 'isolate', 'record'],
  session: [...measuring, 'guide', 'checks', 'isolate', 'calibrate', 'record', 'link'],
  view: [...measuring, 'guide', 'checks', 'isolate', 'calibrate', 'record', 'verify', 'session'],
  faces: [...measuring, 'guide', 'checks', 'isolate', 'calibrate', 'record', 'session', 'view'],
  report: [...measuring, 'guide', 'checks', 'isolate', 'record', 'verify', 'view'],
  ledger: [...measuring, 'guide', 'checks', 'isolate', 'record', 'verify'],
  'ledger-store': ['errors', 'files', 'record', 'verify', 'ledger'],
};
rooms.picture = [...measuring, 'files', 'guide', 'view'];
rooms.report.push('picture');
rooms.page = [...rooms.view, 'view', 'picture'];
rooms.cli = Object.keys(rooms);
const pure = ['errors', 'ports', 'statistics', 'protocol', 'measure', 'checks', 'isolate', 'learn', 'calibrate', 'view'];
const pureFrom = { path: `^src/(${[...pure, 'guide'].join('|')})/`, pathNot: '^src/guide/(file/load|pictures/read-guide-pictures)\\.ts$' };
const forbidden = Object.entries(rooms).map(([room, may]) => ({
  name: `room-${room}`,
  severity: 'error',
  comment: `${room}/ may import only: ${[room, ...may].join(', ')}`,
  from: { path: `^src/${room}/` },
  to: { path: '^src/', pathNot: `^src/(${[room, ...may].join('|')})/` },
}));
forbidden.push(
  {
    name: 'files-in-few-places',
    severity: 'error',
    comment: 'src/files reads what is foreign and writes what is asked for; beside it only these few may touch the disk',
    from: {
      path: '^src/',
      pathNot: `^src/(${[
        'files/',
        // the record: one writer, its lock, its folder
        'record/store/(disk|lock-holder)\\.ts$',
        'verify/folder/(list-jobs|newest-records)\\.ts$',
        // ports are looked for in the file system
        'link/serial/',
        // the last words of a program that is ended by force
        'faces/screen/terminal/terminal\\.ts$',
        // look only whether a name is there
        'cli/places/(example-file|named-jobs)\\.ts$',
        // not part of the program: writes the schema at build time
        'cli/guides/write-schema\\.ts$',
      ].join('|')})`,
    },
    to: { path: '^(node:)?fs(/promises)?$' },
  },
  {
    name: 'pure-rooms',
    severity: 'error',
    comment: 'pure rooms import no node: module',
    from: pureFrom,
    to: { dependencyTypes: ['core'] },
  },
  {
    name: 'pure-rooms-packages',
    severity: 'error',
    comment: 'pure rooms import no serialport, no rxjs, no react',
    from: pureFrom,
    to: { path: 'node_modules/(serialport|@serialport|rxjs|react|ink|commander|@lydell)' },
  },
  {
    name: 'only-serial-file-knows-serialport',
    severity: 'error',
    from: { path: '^(src|sim)/', pathNot: '^src/link/serial/serial-port\\.ts$' },
    to: { path: 'node_modules/(serialport|@serialport)' },
  },
  {
    name: 'databases-live-in-ledger-store',
    severity: 'error',
    from: { path: '^(src|sim)/', pathNot: '^src/ledger-store/(embedded|server)-database\\.ts$' },
    to: { path: 'node_modules/(@electric-sql|pg)/' },
  },
  {
    name: 'ledger-is-pure',
    severity: 'error',
    comment: 'rows and SQL come of their arguments alone',
    from: { path: '^src/ledger/' },
    to: { dependencyTypes: ['core'] },
  },
  {
    name: 'rxjs-lives-in-session',
    severity: 'error',
    from: { path: '^(src|sim)/', pathNot: '^src/session/' },
    to: { path: 'node_modules/rxjs' },
  },
  {
    name: 'ink-lives-in-faces',
    severity: 'error',
    from: { path: '^(src|sim)/', pathNot: '^src/(faces|cli)/' },
    to: { path: 'node_modules/ink' },
  },
  {
    name: 'sim-does-not-talk-for-the-firmware',
    severity: 'error',
    comment: 'the firmware does the talking: sim/ may use guide/, ports/ and errors/ only',
    from: { path: '^sim/' },
    to: { path: '^src/', pathNot: '^src/(guide|ports|errors)/' },
  },
  {
    name: 'only-cli-opens-the-simulator',
    severity: 'error',
    from: { path: '^src/', pathNot: '^src/cli/' },
    to: { path: '^sim/' },
  },
  {
    name: 'no-circular',
    severity: 'error',
    from: {},
    to: { circular: true, viaOnly: { dependencyTypesNot: ['type-only'] } },
  },
);
module.exports = {
  forbidden,
  options: {
    doNotFollow: { path: 'node_modules' },
    // typescript 7 has no API yet that the cruiser could use
    parser: 'swc',
    tsPreCompilationDeps: true,
    enhancedResolveOptions: { exportsFields: ['exports'], conditionNames: ['import', 'node', 'default', 'types'] },
  },
};
