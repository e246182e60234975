import Database from 'better-sqlite3'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { openPast } from '../../daemon/assembly/past.js'
import { oxygenSaturationPercent } from '../../daemon/chemistry/oxygen-saturation.js'
import { farmFromText } from '../../daemon/cli/load-farm.js'
import { compileGraph } from '../../daemon/derive/compile-graph.js'
import { beginPast, recomputeSpan, type PastReading } from '../../daemon/derive/recompute-span.js'
import { recompute, type Newest } from '../../daemon/derive/recompute.js'
import { signalPlanFor } from '../../daemon/farm/on-demand.js'
import { silentLog } from '../../daemon/ports/log.js'
import type { Reading } from '../../daemon/readings/reading.js'
import { signalName, type SignalName } from '../../daemon/readings/signal.js'
import { openStore } from '../../daemon/storage/sqlite/open-store.js'
import { openHistory } from '../../daemon/storage/sqlite/reader-thread.js'
import { atmospheres, celsius, gramsPerKilogram, milligramsPerLitre } from '../../daemon/units/brands.js'
import { after, days, epochMs, hours, milliseconds } from '../../daemon/units/time.js'
import { batch } from '../contracts/example-batch.js'
import { FakeClock } from '../support/fake-clock.js'
import type { BenchRow, Rows } from './rows.js'

const start = Date.UTC(2027, 0, 1)
const year = days(365)

/** Tanks with oxygen, temperature and pH; ammonia and alkalinity are entered from a test kit. */
function planOf(tanks: number) {
  const names = Array.from({ length: tanks }, (_, index) => `tank-${index + 1}`)
  const text = `
farm: { name: Larkfield, time_zone: Europe/London, altitude: 80 m }
places:
${names.map((id) => `  - { id: ${id}, kind: tank, volume: 1.9 m3, fish: { species: nile_tilapia, count: 160, mean_mass: 240 g, feed_per_day: 900 g, feed_protein: 36 % } }`).join('\n')}
probes:
${names.map((id) => `  - { signal: ${id}/dissolved_oxygen, topic: o/${id}, unit: mg/L, every: 30 s }\n  - { signal: ${id}/water_temperature, topic: t/${id}, unit: Cel, every: 60 s }\n  - { signal: ${id}/ph, topic: p/${id}, unit: "[pH]", every: 60 s }`).join('\n')}
people: [ { id: first-keeper, name: First keeper, reach: { text: "+44 7700 900101" } } ]
ladders: { night: { steps: [ { after: 0 min, call: first-keeper, by: [text] } ] } }
`
  return farmFromText({ text, file: 'bench.yaml', env: {}, readFile: () => '' }).plan
}

const row = (what: string, value: number, unit: string, ratio: number | null = null): BenchRow => ({
  what,
  value,
  unit,
  ratio,
})

/** Processor time, so that the other work of the machine does not count. */
function cpu(work: () => void): number {
  const began = process.cpuUsage()
  work()
  const { user, system } = process.cpuUsage(began)
  return user + system
}

/** One change of oxygen: everything that follows, and the same formula in a bare loop. */
function oneRecomputation(): Rows {
  const graph = compileGraph(planOf(1))
  const signal = signalName('tank-1', 'dissolved_oxygen')
  const known = knownAt(['tank-1'])
  const times = 200_000
  const changes = (count: number): void => {
    for (let index = 0; index < count; index += 1) {
      const at = epochMs(start + index * 1000)
      known.set(signal, { value: 6 + (index % 100) / 50, quality: 'good', at })
      recompute(graph, signal, at, (of) => known.get(of) ?? null)
    }
  }
  let sum = 0
  const bare = (count: number): void => {
    for (let index = 0; index < count; index += 1) {
      const air = { salinity: gramsPerKilogram(0), pressure: atmospheres(0.9905) }
      const oxygen = milligramsPerLitre(6 + (index % 100) / 50)
      sum += oxygenSaturationPercent(oxygen, { temperature: celsius(26 - (index % 7) / 10), ...air }) ?? 0
    }
  }
  changes(20_000)
  bare(20_000)
  const made = graph.dependents.get(signal)?.length ?? 0
  const ours = cpu(() => changes(times)) / times
  const plain = cpu(() => bare(times)) / times
  if (!Number.isFinite(sum)) throw new Error('the bare loop went wrong')
  return [
    row('bare loop of the saturation equation', plain, 'us/value'),
    row(`one change of oxygen, ${made} computed values`, ours, 'us/change'),
    row('one computed value', ours / made, 'us/value', ours / made / plain),
  ]
}

function knownAt(places: readonly string[]): Map<SignalName, Newest> {
  const figures = {
    ...{ dissolved_oxygen: 7, water_temperature: 26, ph: 7.1 },
    ...{ total_ammonia_nitrogen: 0.8, alkalinity: 60 },
  }
  return new Map(
    places.flatMap((place) =>
      Object.entries(figures).map(([quantity, value]) => [
        signalName(place, quantity),
        { value, quality: 'good' as const, at: epochMs(start) },
      ]),
    ),
  )
}

/** 10,000 signals at 1 Hz: what the computing of a second costs, through `recompute` as the watch calls it. */
function tenThousand(): Rows {
  const tanks = Array.from({ length: 3334 }, (_, index) => `tank-${index + 1}`)
  const graph = compileGraph(planOf(tanks.length))
  const known = knownAt(tanks)
  const quantities = ['dissolved_oxygen', 'water_temperature', 'ph']
  const signals = tanks.flatMap((tank) => quantities.map((quantity) => signalName(tank, quantity)))
  let values = 0
  const second = (number: number): void => {
    const at = epochMs(start + number * 1000)
    for (const signal of signals) {
      const before = known.get(signal)
      if (before !== undefined) known.set(signal, { ...before, at })
      values += recompute(graph, signal, at, (of) => known.get(of) ?? null).length
    }
  }
  second(1)
  values = 0
  const seconds = 10
  const took = cpu(() => {
    for (let number = 2; number < 2 + seconds; number += 1) second(number)
  })
  const readings = seconds * signals.length
  return [
    row(
      `${signals.length} signals at 1 Hz, ${(values / readings).toFixed(1)} values a reading`,
      took / readings,
      'us/reading',
    ),
    row('of one processor core at that pace', (100 * took) / (seconds * 1e6), '%'),
  ]
}

/** A year of one tank: oxygen every 30 s, temperature and pH every minute, ammonia and alkalinity once a day. */
function* yearOfReadings(): Generator<Reading> {
  const at = (signal: string, when: number, value: number, source: Reading['source']): Reading => ({
    signal: signalName('tank-1', signal),
    at: epochMs(when),
    received: epochMs(when),
    value,
    quality: 'good',
    reasons: [],
    source,
    historical: false,
  })
  for (let when = start; when < start + year; when += 30_000) {
    const wave = Math.sin(when / 1.4e7)
    yield at('dissolved_oxygen', when, 7 + wave, 'probe')
    if (when % 60_000 !== 0) continue
    yield at('water_temperature', when, 25 + 2 * wave, 'probe')
    yield at('ph', when, 7 + 0.2 * wave, 'probe')
    if (when % 86_400_000 !== 0) continue
    yield at('total_ammonia_nitrogen', when, 0.8 + 0.3 * wave, 'book')
    yield at('alkalinity', when, 60 + 10 * wave, 'book')
  }
}

function pureYear(): Rows {
  const plan = planOf(1)
  const graph = compileGraph(plan)
  const readings: readonly PastReading[] = [...yearOfReadings()]
  const staleTimeOf = (signal: SignalName) => {
    const listening = signalPlanFor(plan, signal)
    return 'unknown' in listening ? null : listening.staleTime
  }
  const wanted = new Set(graph.nodes.keys())
  let values = 0
  const took = cpu(() => {
    const past = beginPast({ from: epochMs(start), graph, wanted, staleTimeOf, before: [], kept: new Map() })
    for (const _ of recomputeSpan(past, readings, { to: after(epochMs(start), year) })) values += 1
  })
  return [
    row(`a year of a tank, pure: ${readings.length} readings, ${wanted.size} quantities`, took / 1e6, 's'),
    row('values kept of it', values, ''),
    row('a reading', took / readings.length, 'us/reading'),
  ]
}

/** The same from the store by the running daemon's own job, each slice in a transaction; and with a plain SELECT. */
async function storedYear(): Promise<Rows> {
  const folder = mkdtempSync(join(tmpdir(), 'bellwater-bench-'))
  const clock = new FakeClock(after(epochMs(start), milliseconds(year + hours(1))))
  const plan = planOf(1)
  const store = openStore({ folder, clock })
  const history = openHistory(store.file)
  try {
    let some: Reading[] = []
    for (const reading of yearOfReadings()) {
      if (some.push(reading) < 20_000) continue
      store.recorder.commit(batch({ readings: some }))
      some = []
    }
    store.recorder.commit(batch({ readings: some }))
    const past = openPast({ recorder: store.recorder, history, plan: () => plan, clock, log: silentLog })
    const bare = bareSelect(store.file)
    const wish = { signals: '*/*', from: epochMs(start), to: after(epochMs(start), year), by: 'first-keeper' }
    const round = async () => {
      const began = performance.now()
      const { id } = past.past.recompute(wish)
      await past.idle()
      const done = past.past.recomputations().find((one) => one.id === id)
      if (done?.finished !== true) throw new Error('the year was not finished')
      return { took: performance.now() - began, changed: done.changed }
    }
    const first = await round()
    const again = await round()
    await past.close()
    return [
      row('bare better-sqlite3 SELECT of the same readings', bare / 1000, 's'),
      row(
        `a year from the store, first time: ${first.changed} values written`,
        first.took / 1000,
        's',
        first.took / bare,
      ),
      row(`once more: ${again.changed} values different`, again.took / 1000, 's', again.took / bare),
    ]
  } finally {
    await history.close()
    store.close()
    rmSync(folder, { recursive: true, force: true })
  }
}

function bareSelect(file: string): number {
  const db = new Database(file, { readonly: true })
  const began = performance.now()
  let sum = 0
  const rows = db.prepare<[], { value: number }>(
    'SELECT t, signal_id, source, value, quality FROM readings ORDER BY t, signal_id, source',
  )
  for (const { value } of rows.iterate()) sum += value
  const took = performance.now() - began
  db.close()
  if (!Number.isFinite(sum)) throw new Error('the bare SELECT went wrong')
  return took
}

export async function run(): Promise<Rows> {
  return [...oneRecomputation(), ...tenThousand(), ...pureYear(), ...(await storedYear())]
}
