import { farmFromText } from '../../daemon/cli/load-farm.js'
import { signalName } from '../../daemon/readings/signal.js'
import { epochMs } from '../../daemon/units/time.js'
import { advance } from '../../daemon/watch/advance.js'
import { newWorld, takeChanges } from '../../daemon/watch/docs.js'
import type { WatchEvent } from '../../daemon/watch/event.js'
import type { Rows } from './rows.js'

const signals = 1000
const rounds = 60

const farm = `
farm: { name: Larkfield, time_zone: Europe/London, altitude: 80 m }
places:
${Array.from({ length: signals }, (_, index) => `  - { id: tank-${index}, kind: tank }`).join('\n')}
probes:
${Array.from({ length: signals }, (_, index) => `  - { signal: tank-${index}/dissolved_oxygen, topic: t/${index}, unit: mg/L, every: 1 s }`).join('\n')}
alarms:
  - { id: oxygen-low, signal: "tank-*/dissolved_oxygen", below: 4.5 mg/L, deadband: 0.4 mg/L, on_delay: 2 min, priority: high, ladder: night, cause: a, consequence: b, response: c }
people: [ { id: first-keeper, name: First keeper, reach: { text: "+44 7700 900101" } } ]
ladders: { night: { steps: [ { after: 0 min, call: first-keeper, by: [text] } ] } }
`

/** What the pure core costs a reading: judge, alarm, detect, compute; one alarm each, in turns of a hundred. */
export function run(): Promise<Rows> {
  const { plan } = farmFromText({ text: farm, file: 'bench.yaml', env: {}, readFile: () => '' })
  let now = 1_800_000_000_000
  const world = newWorld(plan, epochMs(now))
  const names = Array.from({ length: signals }, (_, index) => signalName(`tank-${index}`, 'dissolved_oxygen'))
  let readings = 0
  const began = process.cpuUsage()
  for (let round = 0; round < rounds; round += 1) {
    for (let from = 0; from < signals; from += 100) {
      now += 100
      const events = names.slice(from, from + 100).map((signal, index): WatchEvent => ({
        kind: 'arrival',
        arrival: {
          signal,
          value: 6 + ((index + round) % 7) / 10,
          measuredAt: epochMs(now - 50),
          claimed: 'good',
          retained: false,
          source: 'probe',
        },
      }))
      readings += events.length
      advance(world, events, epochMs(now))
      takeChanges(world)
    }
  }
  const { user, system } = process.cpuUsage(began)
  return Promise.resolve([
    {
      what: `${signals} signals, one alarm each: the core`,
      value: (user + system) / readings,
      unit: 'us/reading',
      ratio: null,
    },
  ])
}
