/** Who may import whom. One line per room of daemon/; anything not listed is forbidden. */
const rooms = {
  // knowledge: pure, no node:, no clock, no network
  units: [],
  readings: ['units'],
  decoding: ['units', 'readings'],
  quality: ['units', 'readings', 'farm'],
  chemistry: ['units'],
  heat: ['units'],
  // how long the oxygen lasts: learnt from the readings of a tank
  reserve: ['units', 'chemistry'],
  equipment: ['units', 'readings', 'farm'],
  alarms: ['units', 'readings'],
  callout: ['units', 'alarms'],
  book: ['units', 'readings'],
  health: ['units'],
  // what is told of what happened: the lines of scripts and of the journal, and what people do
  journal: ['units', 'readings', 'alarms', 'callout'],
  // the farm with everything resolved; reads the shape of the settings, never the loader
  farm: ['units', 'readings', 'alarms', 'callout', 'settings/schema[.]ts$', 'settings/problem[.]ts$'],
  incidents: ['units', 'readings', 'chemistry', 'heat', 'equipment', 'alarms', 'callout', 'book', 'journal', 'farm', 'ports', 'derive'],
  planning: ['units', 'chemistry', 'heat'],
  // the seam: interfaces only
  ports: ['units', 'readings', 'alarms', 'callout', 'book', 'journal'],
  // the catalogue behind `calc`, and the signals that are computed from signals
  calculations: ['units', 'chemistry', 'heat'],
  derive: ['units', 'readings', 'farm', 'chemistry', 'heat', 'reserve'],
  // the loop
  watch: ['units', 'readings', 'journal', 'quality', 'chemistry', 'heat', 'equipment', 'alarms', 'callout', 'book', 'health', 'farm', 'ports', 'derive'],
  // hands and ears: one outside technology each, never each other
  mqtt: ['units', 'readings', 'decoding', 'ports'],
  storage: ['units', 'readings', 'journal', 'alarms', 'callout', 'book', 'ports'],
  channels: ['units', 'callout', 'ports'],
  http: ['units', 'readings', 'journal', 'alarms', 'callout', 'book', 'health', 'incidents', 'planning', 'reports', 'ports', 'farm', 'calculations'],
  reports: ['units', 'readings', 'incidents', 'planning'],
  system: ['units', 'ports'],
  // a second opinion on the physics: must not share the code it is used to test
  practice: ['units', 'ports'],
  // entry
  lookout: ['units', 'callout', 'health', 'ports'],
  cli: ['units', 'readings', 'journal', 'decoding', 'chemistry', 'heat', 'calculations', 'alarms', 'callout', 'book', 'incidents', 'planning', 'reports', 'practice', 'settings', 'farm', 'watch', 'ports', 'system', 'mqtt', 'storage', 'http'],
}
// the web front end
const panes = { look: [], wording: [], charts: ['wording', 'look'], live: [], offline: ['live'], screens: ['charts', 'live', 'offline', 'wording', 'look'] }
const pure = 'units|readings|decoding|quality|chemistry|heat|reserve|equipment|alarms|callout|book|health|journal|farm|incidents|planning|calculations|derive|ports'
const here = (list) => `^daemon/(${list.map((room) => (room.includes('/') ? room : `${room}/`)).join('|')})`
const only = (npm, where) => ({
  name: `only-there:${npm}`, severity: 'error', comment: `${npm} is imported only from ${where}`,
  from: { path: '^(daemon|dashboards)/', pathNot: where }, to: { path: `(^|/)node_modules/${npm}/` },
})

module.exports = {
  forbidden: [
    ...Object.entries(rooms).map(([room, allowed]) => ({
      name: `room:${room}`, severity: 'error',
      comment: `daemon/${room} may import itself, errors.ts and: ${allowed.join(', ') || 'nothing'}`,
      from: { path: `^daemon/${room}/` },
      to: {
        path: '^(daemon|dashboards|tests)/',
        pathNot: ['^daemon/(errors|secret)[.]ts$', here([room, ...allowed]), ...(room === 'cli' ? ['^daemon/assembly/'] : [])],
      },
    })),
    { name: 'room:settings', severity: 'error', comment: 'settings/ composes the settings.ts of each room and touches nothing else',
      from: { path: '^daemon/settings/' },
      to: { path: '^(daemon|dashboards|tests)/', pathNot: ['^daemon/(errors|secret)[.]ts$', '^daemon/(settings|units)/', '^daemon/[^/]+/settings[.]ts$'] } },
    { name: 'main-opens-cli-only', severity: 'error', from: { path: '^daemon/main[.]ts$' }, to: { path: '^daemon/', pathNot: '^daemon/cli/' } },
    { name: 'assembly-knows-no-practice', severity: 'error', comment: 'the production wiring must not reach the practice greenhouse or the CLI',
      from: { path: '^daemon/assembly/' }, to: { path: '^daemon/(cli|practice|main)' } },
    { name: 'errors-stand-alone', severity: 'error', from: { path: '^daemon/(errors|secret)[.]ts$' }, to: { path: '^(daemon|dashboards|tests)/' } },
    { name: 'unknown-room', severity: 'error', comment: 'a new room needs a line in this file first',
      from: {}, to: { path: '^daemon/[^/]+/', pathNot: here([...Object.keys(rooms), 'settings', 'assembly']) } },
    { name: 'knowledge-is-pure', severity: 'error', comment: 'pure rooms may not use node: modules',
      from: { path: `^daemon/(${pure})/` }, to: { dependencyTypes: ['core'] } },
    { name: 'knowledge-needs-no-packages', severity: 'error', comment: 'zod where a schema lives, and pure calculation libraries (units, psychrometrics, sun position, calendar)',
      from: { path: `^daemon/(${pure})/` }, to: { path: '(^|/)node_modules/', pathNot: '(^|/)node_modules/(zod|psychrolib|suncalc|temporal-polyfill|temporal-spec|@atomic-ehr/ucum)/' } },
    only('zod', '^daemon/(settings/|decoding/|http/|cli/|[^/]+/settings[.]ts$)'),
    only('mqtt', '^daemon/(mqtt|practice)/'),
    only('aedes', '^daemon/mqtt/'),
    only('better-sqlite3', '^daemon/storage/sqlite/'),
    only('nodemailer', '^daemon/channels/'),
    only('pino', '^daemon/system/'),
    only('fastify', '^daemon/http/'),
    only('@atomic-ehr/ucum', '^daemon/units/'),
    only('uplot', '^dashboards/charts/'),
    { name: 'storage-kinds-apart', severity: 'error', from: { path: '^daemon/storage/([^/]+)/' }, to: { path: '^daemon/storage/[^/]+/', pathNot: '^daemon/storage/$1/' } },
    { name: 'dashboards-see-the-contract', severity: 'error', comment: 'the web front end knows the daemon only through the contracts in http/ and units/',
      from: { path: '^dashboards/' }, to: { path: '^(daemon|tests)/', pathNot: ['^daemon/http/(computing-)?contract[.]ts$', '^daemon/units/'] } },
    ...Object.entries(panes).map(([pane, allowed]) => ({
      name: `pane:${pane}`, severity: 'error', comment: `dashboards/${pane} may import itself and: ${allowed.join(', ') || 'nothing'}`,
      from: { path: `^dashboards/${pane}/` }, to: { path: '^dashboards/', pathNot: `^dashboards/(${[pane, ...allowed].join('|')})/` },
    })),
    { name: 'screens-apart', severity: 'error', from: { path: '^dashboards/screens/([^/]+)' }, to: { path: '^dashboards/screens/', pathNot: '^dashboards/screens/$1' } },
    { name: 'nobody-imports-tests', severity: 'error', from: { path: '^(daemon|dashboards)/' }, to: { path: '^tests/' } },
    { name: 'tests-stay-in-their-room', severity: 'error', comment: 'a test may use its own room, tests/support, tests/contracts and tests/fixtures, not another test',
      from: { path: '^tests/([^/]+)/' }, to: { path: '^tests/', pathNot: ['^tests/$1/', '^tests/(support|contracts|fixtures)/'] } },
    { name: 'no-dangling', severity: 'error', from: {}, to: { couldNotResolve: true, pathNot: '^(virtual:|vite/client|vite$)' } },
    // The watch is one machine in several files: an alarm's change makes calls, a failed call changes an alarm. Its files
    // export functions only, so the order in which they load does not matter.
    { name: 'no-circles', severity: 'error', from: { pathNot: '^daemon/watch/' }, to: { circular: true, viaOnly: { dependencyTypesNot: ['type-only'] } } },
    { name: 'no-orphans', severity: 'error', from: { orphan: true, pathNot: ['[.]d[.]ts$', '^daemon/main[.]ts$', '[.](test|bench)[.]tsx?$', '[.]config[.]', '^tests/'] }, to: {} },
    { name: 'no-dev-packages', severity: 'error', from: { path: '^daemon/' }, to: { dependencyTypes: ['npm-dev'], dependencyTypesNot: ['type-only'] } },
  ],
  options: { tsPreCompilationDeps: true, doNotFollow: { path: 'node_modules' }, exclude: { path: '^dist/' }, tsConfig: { fileName: 'tsconfig.json' },
    // aedes exports itself under 'default' alone
    enhancedResolveOptions: { exportsFields: ['exports'], conditionNames: ['import', 'require', 'node', 'default', 'types'] } },
}
