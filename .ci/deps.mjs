// Checks the import rules and refuses a run that saw nothing (a silent zero would pass every rule).
import { spawnSync } from 'node:child_process'

const run = spawnSync(
  process.execPath,
  ['node_modules/dependency-cruiser/bin/dependency-cruise.mjs', 'daemon', 'dashboards', 'tests', '--config', '.dependency-cruiser.cjs', '--output-type', 'err-long'],
  { encoding: 'utf8' },
)
process.stdout.write(run.stdout)
process.stderr.write(run.stderr)
const seen = /(\d+) modules, (\d+) dependencies cruised/.exec(run.stdout)
if (seen === null || Number(seen[2]) === 0) {
  console.error('the import check saw no imports: it checked nothing')
  process.exit(1)
}
process.exit(run.status ?? 1)
