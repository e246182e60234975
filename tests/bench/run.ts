import { run as storage } from './storage.bench.js'
import { run as core } from './core.bench.js'
import { run as derive } from './derive.bench.js'
import { run as whole } from './whole.bench.js'
import type { Rows } from './rows.js'

/** `npm run bench`: every figure beside the same work done by the bare library in the same run. */
const benches: readonly (readonly [string, () => Promise<Rows>])[] = [
  ['core', core],
  ['computed values', derive],
  ['whole daemon', whole],
  ['storage', storage],
]

for (const [name, run] of benches) {
  console.log(`\n${name}`)
  for (const { what, value, unit, ratio } of await run()) {
    console.log(
      `  ${what.padEnd(64)} ${value.toPrecision(4).padStart(10)} ${unit.padEnd(14)}${ratio === null ? '' : `  × ${ratio.toFixed(2)} of bare`}`,
    )
  }
}
