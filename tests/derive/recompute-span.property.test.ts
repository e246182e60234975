import fc from 'fast-check'
import { expect, it } from 'vitest'
import { compileGraph } from '../../daemon/derive/compile-graph.js'
import { evaluate, recompute, type ReadNewest } from '../../daemon/derive/recompute.js'
import type { Computed } from '../../daemon/readings/computed.js'
import {
  beginPast,
  inputsOf,
  keepEvery,
  reachOf,
  recomputeSpan,
  type PastReading,
} from '../../daemon/derive/recompute-span.js'
import { signalPlanFor } from '../../daemon/farm/on-demand.js'
import type { Quality } from '../../daemon/readings/reading.js'
import type { SignalName } from '../../daemon/readings/signal.js'
import { after, days, epochMs, milliseconds, minutes, type EpochMs } from '../../daemon/units/time.js'
import { larkfield, probe } from './larkfield-plan.js'

const plan = larkfield(
  probe('tank-1/dissolved_oxygen', 'mg/L'),
  probe('tank-1/water_temperature', 'Cel', 'every: 60 s'),
  probe('tank-1/ph', '[pH]', 'every: 60 s'),
  probe('tank-1/conductivity', 'uS/cm', 'every: 20 min'),
  probe('outdoors/barometric_pressure', 'kPa', 'every: 10 min'),
)
const graph = compileGraph(plan)
const begin = 1_800_000_000_000

const saturation = 'tank-1/oxygen_saturation' as SignalName
const ammonia = 'tank-1/unionised_ammonia_nitrogen' as SignalName
const gas = 'tank-1/carbon_dioxide' as SignalName
const salt = 'tank-1/salinity' as SignalName
const all = new Set([saturation, ammonia, gas, salt])

const staleTimeOf = (signal: SignalName) => {
  const listening = signalPlanFor(plan, signal)
  return 'unknown' in listening ? null : listening.staleTime
}

const value = (signal: SignalName, part: number): number =>
  ({
    'tank-1/dissolved_oxygen': 2 + 8 * part,
    // Now and then outside the range of an equation (0-40 degC).
    'tank-1/water_temperature': 10 + 32 * part,
    'tank-1/ph': 6 + 3 * part,
    'tank-1/conductivity': 200 + 5000 * part,
    'outdoors/barometric_pressure': 95 + 8 * part,
    'tank-1/total_ammonia_nitrogen': 3 * part,
    'tank-1/alkalinity': 20 + 100 * part,
  })[signal as string] ?? 0

const inputs = inputsOf(graph, all)
const signals = inputs.filter((signal) => value(signal, 1) !== 0)

/** Readings of all inputs at irregular distances, some bad, some uncertain, with silences of up to two days. */
const readings = fc
  .array(
    fc.record({
      signal: fc.constantFrom(...signals),
      part: fc.double({ min: 0, max: 1, noNaN: true }),
      quality: fc.constantFrom<Quality>('good', 'good', 'good', 'uncertain', 'bad'),
      apart: fc.oneof(
        { weight: 30, arbitrary: fc.nat(45_000) },
        { weight: 3, arbitrary: fc.nat(3_600_000) },
        { weight: 1, arbitrary: fc.nat(2 * 86_400_000) },
      ),
    }),
    { maxLength: 400 },
  )
  .map((made) => {
    let at = begin
    return made.map(({ signal, part, quality, apart }): PastReading => {
      at += apart
      return { signal, at: epochMs(at), value: quality === 'bad' ? null : value(signal, part), quality }
    })
  })

interface Row {
  readonly signal: SignalName
  readonly at: EpochMs
  readonly value: number | null
  readonly quality: Quality
}

interface Known {
  readonly at: EpochMs
  /** Null when nothing usable is known, though something was computed. */
  readonly usable: { readonly at: EpochMs; readonly value: number; readonly quality: Quality } | null
  readonly stale: boolean
  /** When it goes stale, or must be looked at again. */
  readonly due: EpochMs | null
}

/** The watch's own rule (`watch/computing.ts`, `watch/arrivals.ts`) written down plainly: `recompute` live, in order. */
function live(series: readonly PastReading[], to: EpochMs): readonly Row[] {
  const memory = new Map<SignalName, Known>()
  const kept = new Map<SignalName, { at: EpochMs; quality: Quality }>()
  const rows: Row[] = []
  const read: ReadNewest = (signal) => {
    const { usable = null, stale = false } = memory.get(signal) ?? {}
    return usable === null ? null : { ...usable, quality: stale ? 'bad' : usable.quality }
  }
  const keep = ({ signal, at, value: made, quality, inputs: used, until }: Computed): void => {
    const due = until === null ? null : after(until, milliseconds(1))
    const usable =
      quality === 'bad'
        ? (memory.get(signal)?.usable ?? null)
        : made === null
          ? null
          : { at, value: made, quality }
    memory.set(signal, { at, usable, stale: quality === 'bad', due })
    const before = kept.get(signal)
    // Of what nobody has heard yet nothing is told anew.
    const unheard = used.some((one) => one.value === null && one.assumed === null && !isHeard(one.signal))
    if (before?.quality === quality && at - before.at < keepEvery) return
    kept.set(signal, { at, quality })
    if (all.has(signal) && !unheard) rows.push({ signal, at, value: made, quality })
  }
  const isHeard = (signal: SignalName | null): boolean =>
    signal === salt
      ? isHeard('tank-1/conductivity' as SignalName)
      : signal !== null && memory.get(signal)?.usable != null
  const dueUntil = (until: EpochMs): void => {
    for (;;) {
      const next = [...memory]
        .flatMap(([name, { due }]) => (due === null ? [] : [{ name, due }]))
        .sort((a, b) => a.due - b.due)[0]
      if (next === undefined || next.due >= until) return
      const { name, due } = next
      const node = graph.nodes.get(name)
      const known = memory.get(name)
      if (known !== undefined) memory.set(name, { ...known, stale: node === undefined, due: null })
      if (node !== undefined) keep(evaluate(node, due, read))
      else for (const one of recompute(graph, name, due, read)) keep(one)
    }
  }
  for (const { signal, at, value: made, quality } of series) {
    dueUntil(at)
    if (typeof made !== 'number' || quality === 'bad') continue
    const time = staleTimeOf(signal)
    const due = time === null ? null : after(at, time)
    memory.set(signal, { at, usable: { at, value: made, quality }, stale: false, due })
    for (const one of recompute(graph, signal, at, read)) keep(one)
  }
  dueUntil(to)
  return rows
}

const nothingKnown = { from: epochMs(begin), graph, wanted: all, staleTimeOf, before: [], kept: new Map() }

const row = ({ signal, at, value: made, quality }: Row): Row => ({ signal, at, value: made, quality })

it('computed again, the past is what the watch would have kept, value for value', () => {
  fc.assert(
    fc.property(readings, (series) => {
      const to = after(series.at(-1)?.at ?? epochMs(begin), days(1))
      const past = beginPast(nothingKnown)
      const rows = [...recomputeSpan(past, series, { to })].map(row)
      expect(rows).toEqual(live(series, to))
      expect(series.length < 50 || rows.length > 0).toBe(true)
    }),
    { numRuns: 200 },
  )
})

it('a part of it, begun from what was known before, is the same as that part of the whole', () => {
  fc.assert(
    fc.property(readings, fc.double({ min: 0, max: 1, noNaN: true }), (series, share) => {
      const end = after(series.at(-1)?.at ?? epochMs(begin), minutes(5))
      const from = epochMs(Math.round(begin + share * (end - begin)))
      const whole = live(series, end)
      const earlier = series.filter(({ at }) => at < from)
      const reach = reachOf(graph, all)
      const before = inputs.flatMap((signal) => {
        const usable = earlier.filter((one) => one.signal === signal && one.quality !== 'bad')
        const last = usable.at(-1)
        return last === undefined || last.at < from - reach ? [] : [last]
      })
      const kept = new Map(
        whole
          .filter(({ at }) => at < from && at >= from - keepEvery)
          .map((one) => [one.signal, one] as const),
      )
      const past = beginPast({ from, graph, wanted: all, staleTimeOf, before, kept })
      const later = series.filter(({ at }) => at >= from)
      const rows = [...recomputeSpan(past, later, { to: end })].map(row)
      // What lies out of reach counts as not on record: nothing is said until it is heard again.
      const isSaid = ({ signal, at }: Row): boolean => at >= (past.knownSince.get(signal) ?? Infinity)
      const expected = whole.filter((one) => one.at >= from).filter(isSaid)
      expect(rows).toEqual(expected)
    }),
    { numRuns: 200 },
  )
})

it('taken span after span it is the same as at once', () => {
  fc.assert(
    fc.property(readings, fc.array(fc.nat(86_400_000), { maxLength: 6 }), (series, cuts) => {
      const end = after(series.at(-1)?.at ?? epochMs(begin), minutes(30))
      const at = [...cuts.map((cut) => Math.min(begin + cut, end)), end].sort((a, b) => a - b)
      const start = () => beginPast(nothingKnown)
      const whole = [...recomputeSpan(start(), series, { to: end })].map(row)
      const past = start()
      let from = 0
      const parts = at.flatMap((to) => {
        const some = series.filter((one) => one.at >= from && one.at < to)
        from = to
        return [...recomputeSpan(past, some, { to: epochMs(to) })].map(row)
      })
      expect(parts).toEqual(whole)
    }),
    { numRuns: 100 },
  )
})

it('says nothing of a value while one of its inputs is not on record', () => {
  const past = beginPast(nothingKnown)
  const series: PastReading[] = Array.from({ length: 10 }, (_, index) => ({
    signal: 'tank-1/dissolved_oxygen' as SignalName,
    at: after(epochMs(begin), milliseconds(index * 30_000)),
    value: 6,
    quality: 'good',
  }))
  expect([...recomputeSpan(past, series, { to: epochMs(begin + 3_600_000) })]).toEqual([])
})

it('keeps a value at the moments at which one is in the record', () => {
  const oxygen = 'tank-1/dissolved_oxygen' as SignalName
  const past = beginPast({
    from: epochMs(begin),
    graph,
    wanted: new Set([saturation]),
    staleTimeOf,
    before: [
      {
        signal: 'tank-1/water_temperature' as SignalName,
        at: epochMs(begin - 1),
        value: 20,
        quality: 'good',
      },
    ],
    kept: new Map([[saturation, { at: epochMs(begin - 1), quality: 'uncertain' }]]),
  })
  const series = [10, 20, 30, 40].map((second): PastReading => ({
    signal: oxygen,
    at: epochMs(begin + second * 1000),
    value: 6,
    quality: 'good',
  }))
  const isKept = (_: SignalName, at: EpochMs): boolean => at === begin + 30_000
  const rows = [...recomputeSpan(past, series, { to: epochMs(begin + 60_000), isKept })]
  // The barometer was never heard, so all are uncertain, as what was kept last.
  expect(rows.map(({ at, quality }) => [at - begin, quality])).toEqual([[30_000, 'uncertain']])
})
