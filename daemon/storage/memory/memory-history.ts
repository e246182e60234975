import type { History, RecordedReading, Sample, Stretch } from '../../ports/history.js'
import { corrected, correctionAt } from '../../readings/correction.js'
import type { Reading, Source } from '../../readings/reading.js'
import type { SignalName } from '../../readings/signal.js'
import { epochMs, type EpochMs } from '../../units/time.js'
import { thinner } from '../thin.js'
import type { Kept } from './kept.js'

/** The history of a memory store, with the promises of `ports/history.ts`. */
export function historyOf(kept: Kept): History {
  return {
    samples: async (signal, from, to, atMost) => {
      const all = readingsOf(kept, [signal], from, to).map((reading) => readAs(kept, reading))
      return thinned(all.map(sampleOf), { from, to, atMost })
    },
    rawSamples: async (signal, from, to, atMost) =>
      thinned(readingsOf(kept, [signal], from, to).map(sampleOf), { from, to, atMost }),
    readings: async (signals, from, to, atMost) => {
      const all = readingsOf(kept, signals, from, to).filter(isOfKnownAge)
      const last = all[Math.max(0, Math.ceil(atMost) - 1)]
      const next = all.find(({ at }, index) => index >= atMost && at !== last?.at)
      const given = next === undefined ? all : all.filter(({ at }) => at < next.at)
      const readings = given.map((one) => recorded(readAs(kept, one)))
      return { readings, to: next?.at ?? to } satisfies Stretch
    },
    usableBefore: async (signals, before, reach) => {
      const all = readingsOf(kept, signals, epochMs(before - reach), before)
        .filter(isOfKnownAge)
        .filter(({ source, value, quality }) => source !== 'computed' && value !== null && quality !== 'bad')
      const newestOf = new Map(all.map((reading) => [reading.signal, reading]))
      return all
        .filter((reading) => newestOf.get(reading.signal) === reading)
        .map((one) => recorded(readAs(kept, one)))
    },
    journal: async (from, to, atMost, about) => {
      const lines = kept.journal
        .filter(within(from, to))
        .filter((line) => about === undefined || line.about === about)
      return newest(
        lines.sort((one, other) => one.at - other.at || one.seq - other.seq),
        atMost,
      )
    },
    calls: async (from, to, atMost) => {
      const calls = [...kept.calls.values()].filter(within(from, to))
      return newest(
        calls.sort((one, other) => one.at - other.at || one.id - other.id),
        atMost,
      )
    },
    close: async () => undefined,
  }
}

function thinned(
  samples: readonly Sample[],
  { from, to, atMost }: { readonly from: EpochMs; readonly to: EpochMs; readonly atMost: number },
): readonly Sample[] {
  const thin = thinner(from, to, atMost)
  for (const sample of samples) thin.add(sample)
  return thin.result()
}

/** In order of time; of one moment in the order in which their signals were first recorded. */
function readingsOf(
  { readings }: Kept,
  signals: readonly SignalName[],
  from: EpochMs,
  to: EpochMs,
): readonly Reading[] {
  const wanted = new Set<string>(signals)
  const all = [...readings].flatMap(([signal, some]) => (wanted.has(signal) ? [...some.values()] : []))
  const order = [...readings.keys()]
  const place = ({ signal }: Reading): number => order.indexOf(signal)
  return all.filter(within(from, to)).sort((one, other) => byTime(one, other, place))
}

function byTime(one: Reading, other: Reading, place: (reading: Reading) => number): number {
  return one.at - other.at || place(one) - place(other) || bySource(one, other)
}

/** Received when it was "measured" and historical all the same: a broker had kept it, and nobody knows how old it is. */
const isOfKnownAge = ({ historical, at, received }: Reading): boolean => !(historical && received === at)

function readAs({ corrections }: Kept, reading: Reading): Reading {
  const own = [...corrections.values()].filter(({ signal }) => signal === reading.signal)
  return { ...reading, value: corrected(reading.value, correctionAt(own, reading.at)) }
}

const sampleOf = ({ at, value, quality }: Reading): Sample => ({ at, value, quality })
const recorded = ({ signal, at, value, quality, source }: Reading): RecordedReading => ({
  ...{ signal, at, value, quality, source },
})

const sourceOrder: readonly Source[] = ['probe', 'book', 'computed']

export const bySource = (one: Reading, other: Reading): number =>
  sourceOrder.indexOf(one.source) - sourceOrder.indexOf(other.source)

const within =
  (from: EpochMs, to: EpochMs) =>
  ({ at }: { readonly at: EpochMs }): boolean =>
    at >= from && at < to

const newest = <Line>(lines: readonly Line[], atMost: number): readonly Line[] =>
  atMost < 1 ? [] : lines.slice(-Math.floor(atMost))
