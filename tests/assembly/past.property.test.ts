import fc from 'fast-check'
import { expect, it } from 'vitest'
import { openPast } from '../../daemon/assembly/past.js'
import { compileGraph } from '../../daemon/derive/compile-graph.js'
import { silentLog } from '../../daemon/ports/log.js'
import type { Arrival } from '../../daemon/readings/reading.js'
import type { SignalName } from '../../daemon/readings/signal.js'
import { memoryStore } from '../../daemon/storage/memory/memory-store.js'
import {
  after,
  epochMs,
  hours,
  milliseconds,
  minutes,
  seconds,
  type EpochMs,
} from '../../daemon/units/time.js'
import { openWatch } from '../../daemon/watch/live.js'
import { FakeClock } from '../support/fake-clock.js'
import { oxygen, pastFarm, temperature } from './past-farm.js'

const plan = pastFarm()
const start = epochMs(Date.UTC(2027, 0, 10))
const acidity = 'tank-1/ph' as SignalName
const ammonia = 'tank-1/total_ammonia_nitrogen' as SignalName
const computed = [...compileGraph(plan).nodes.keys()]

/** One night: readings at irregular distances, gaps in which probes go stale, and what a probe stored meanwhile. */
const night = fc
  .array(
    fc.record({
      signal: fc.constantFrom(oxygen, oxygen, temperature, acidity, ammonia),
      part: fc.double({ min: 0.01, max: 1, noNaN: true }),
      apart: fc.oneof(
        { weight: 20, arbitrary: fc.integer({ min: 1, max: 40_000 }) },
        { weight: 1, arbitrary: fc.integer({ min: 1, max: 3_600_000 }) },
      ),
      late: fc.boolean(),
    }),
    { minLength: 20, maxLength: 150 },
  )
  .map((steps) => {
    // Each signal is heard once at first: what was told before everything was on record is not ours to judge.
    const first = [oxygen, temperature, acidity, ammonia].map((signal, turn) => ({
      ...{ at: after(start, milliseconds(turn + 1)), late: false },
      arrival: arrivalOf(signal, after(start, milliseconds(turn + 1)), 7),
    }))
    let at: EpochMs = after(start, milliseconds(5))
    const rest = steps.map(({ signal, part, apart, late }) => {
      at = after(at, milliseconds(apart))
      const value = part * (signal === temperature ? 38 : signal === acidity ? 13 : 9)
      return { at, late: late && signal === oxygen, arrival: arrivalOf(signal, at, value) }
    })
    return [...first, ...rest]
  })

const arrivalOf = (signal: SignalName, at: EpochMs, value: number): Arrival => ({
  ...{ signal, value, measuredAt: at, claimed: 'good', retained: false },
  source: signal === ammonia ? 'book' : 'probe',
})

/** The real watch on a store in memory; what it is told, it is told at once. */
function farm() {
  const clock = new FakeClock(start)
  const { recorder, history } = memoryStore(clock)
  const past = openPast({ recorder, history, plan: () => plan, clock, log: silentLog })
  const watch = openWatch(plan, {
    ...{ recorder: past.recorder, clock, log: silentLog, soon: (run: () => void) => run() },
    ...{ call: () => undefined, turn: () => undefined, commitWithin: seconds(1) },
  })
  const rows = async () => (await history.readings(computed, start, epochMs(8e15), 1e6)).readings
  const tell = (arrivals: readonly Arrival[]): void =>
    watch.take({ topic: '', arrivals, acknowledge: () => undefined })
  const until = (at: EpochMs): void => {
    if (at > clock.now()) clock.advance(milliseconds(at - clock.now()))
  }
  return { clock, past, rows, tell, until }
}

async function allAnew({ clock, past }: ReturnType<typeof farm>): Promise<number> {
  const { id } = past.past.recompute({ signals: '*/*', from: start, to: clock.now(), by: 'first-keeper' })
  for (let tried = 0; tried < 5; tried += 1) {
    clock.advance(seconds(10))
    await past.idle()
  }
  const done = past.past.recomputations().find((one) => one.id === id)
  expect(done).toMatchObject({ finished: true })
  return done?.changed ?? Number.NaN
}

it('what the watch computed as it happened, computed again, is not different', async () => {
  await fc.assert(
    fc.asyncProperty(night, async (steps) => {
      const one = farm()
      for (const { at, arrival } of steps) {
        one.until(at)
        one.tell([arrival])
      }
      one.clock.advance(hours(1))
      expect(await allAnew(one)).toBe(0)
    }),
    { numRuns: 30 },
  )
})

it('what came late, in whatever portions, is in the end computed as if the record had been whole', async () => {
  await fc.assert(
    fc.asyncProperty(night, fc.integer({ min: 1, max: 9 }), async (steps, portion) => {
      const one = farm()
      for (const { at, arrival, late } of steps) {
        if (late) continue
        one.until(at)
        one.tell([arrival])
      }
      one.clock.advance(hours(2))
      const stored = steps.filter(({ late }) => late).map(({ arrival }) => arrival)
      for (let from = 0; from < stored.length; from += portion) {
        one.tell(stored.slice(from, from + portion))
        one.clock.advance(minutes(from % 2))
        await one.past.idle()
      }
      one.clock.advance(hours(1))
      await one.past.idle()
      const there = await one.rows()
      expect(await allAnew(one)).toBe(0)
      expect(await one.rows()).toEqual(there)
    }),
    { numRuns: 30 },
  )
})
