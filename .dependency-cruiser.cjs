// The arrows of the house. Each room names the rooms that it may import; everything else is refused.
const rooms = {
  protocol: [],
  measure: ['protocol'],
  link: ['protocol'],
  calibrate: ['protocol', 'measure'],
  guide: ['protocol', 'measure'],
  isolate: ['guide', 'measure'],
  job: ['protocol', 'measure'],
  bench: ['protocol', 'link', 'measure', 'calibrate', 'guide', 'isolate', 'job'],
  screen: ['bench', 'guide', 'measure'],
  report: ['protocol', 'job', 'guide', 'measure', 'isolate'],
  cli: ['protocol', 'link', 'measure', 'calibrate', 'guide', 'isolate', 'job', 'bench', 'screen', 'report'],
};
const pure = ['protocol', 'measure', 'calibrate', 'isolate', 'screen'];
const forbidden = Object.entries(rooms).map(([room, may]) => ({
  name: `room-${room}`,
  severity: 'error',
  comment: `${room}/ may import only: ${[room, ...may].join(', ')}`,
  from: { path: `^src/${room}/` },
  to: { path: '^src/', pathNot: `^src/(${[room, ...may].join('|')})/` },
}));
forbidden.push(
  {
    name: 'pure-rooms',
    severity: 'error',
    comment: 'pure rooms import no node: module, no serialport, no rxjs (screen/ has react and ink only)',
    from: { path: `^src/(${pure.join('|')})/` },
    to: { dependencyTypes: ['core'] },
  },
  {
    name: 'pure-rooms-packages',
    severity: 'error',
    from: { path: '^src/(protocol|measure|calibrate|isolate)/' },
    to: { path: 'node_modules/(serialport|@serialport|rxjs|react|ink|commander|@lydell)' },
  },
  {
    name: 'only-serial-file-knows-serialport',
    severity: 'error',
    from: { path: '^(src|sim)/', pathNot: '^src/link/serial-port\\.ts$' },
    to: { path: 'node_modules/(serialport|@serialport)' },
  },
  {
    name: 'rxjs-lives-in-bench',
    severity: 'error',
    from: { path: '^(src|sim)/', pathNot: '^src/(bench/|link/link-stream\\.ts$)' },
    to: { path: 'node_modules/rxjs' },
  },
  {
    name: 'sim-does-not-talk-for-the-firmware',
    severity: 'error',
    comment: 'the firmware does the talking: sim/ may use guide/ only',
    from: { path: '^sim/' },
    to: { path: '^src/', pathNot: '^src/guide/' },
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
