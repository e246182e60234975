import { describe, expect, it } from 'vitest'
import { judgeArrival, staleDue } from '../../daemon/quality/judge.js'
import { unheard, type SignalMemory } from '../../daemon/quality/signal-memory.js'
import { signalPlanFor } from '../../daemon/farm/on-demand.js'
import type { SignalPlan } from '../../daemon/farm/plan.js'
import type { Arrival, Reading } from '../../daemon/readings/reading.js'
import { signalName } from '../../daemon/readings/signal.js'
import { epochMs, minutes, seconds, type EpochMs } from '../../daemon/units/time.js'
import { planOf } from './one-probe.js'

const begin = Date.UTC(2027, 0, 13, 1)
/** Seconds after the beginning. */
const at = (second: number): EpochMs => epochMs(begin + second * 1000)
const signal = signalName('tank-1', 'dissolved_oxygen')

const probe = (change: Partial<SignalPlan> = {}): SignalPlan => {
  const plan = signalPlanFor(planOf, signal)
  if ('unknown' in plan) throw new Error(plan.unknown)
  return { ...plan, ...change }
}

const says = (value: number | null, own: number | null, change: Partial<Arrival> = {}): Arrival => ({
  signal,
  value,
  measuredAt: own === null ? null : at(own),
  claimed: 'good',
  retained: false,
  source: 'probe',
  ...change,
})

/** Judges what arrives one after another: `[received, arrival]`. */
function judged(plan: SignalPlan, course: readonly (readonly [number, Arrival])[]) {
  let memory: SignalMemory = unheard(at(0))
  return course.map(([received, arrival]) => {
    const one = judgeArrival(plan, memory, arrival, at(received))
    memory = one.memory
    return one
  })
}

const last = (plan: SignalPlan, course: readonly (readonly [number, Arrival])[]) => {
  const one = judged(plan, course).at(-1)
  if (one === undefined) throw new Error('nothing arrived')
  return one
}

describe('the time of a reading (AL-17, AL-45, contract 11)', () => {
  it('exactly the late limit of 60 s is judged, a moment more is history', () => {
    expect(last(probe(), [[60, says(6, 0)]]).usable).toBe(true)
    const late = last(probe(), [[61, says(6, 0)]])
    expect(late.usable).toBe(false)
    expect(late.reading?.historical).toBe(true)
  })

  it('a live probe whose clock is slow is judged on receipt once its lag is known, and its clock is at fault', () => {
    const slow = [0, 30, 60, 90].map((second) => [second + 300, says(6, second)] as const)
    const all = judged(probe(), slow)
    expect(all.map((one) => one.usable)).toEqual([false, false, true, true])
    expect(all.at(-1)?.memory.usable?.at).toBe(at(390))
    // It is kept by the probe's own time, by which a repeated delivery is known.
    expect(all.at(-1)?.reading?.at).toBe(at(90))
    expect(all.at(-1)?.memory.clock.fault).toBe(true)
  })

  it('a burst of stored readings teaches no lag: all are history', () => {
    const burst = [0, 30, 60, 90, 120].map((second, index) => [600 + index, says(6, second)] as const)
    expect(judged(probe(), burst).map((one) => one.usable)).toEqual([false, false, false, false, false])
  })

  it('an older reading than the newest changes no state', () => {
    const one = last(probe(), [
      [30, says(6, 30)],
      [35, says(1, 20)],
    ])
    expect(one.usable).toBe(false)
    expect(one.memory.usable?.value).toBe(6)
  })

  it('the same measurement again is dropped, whatever its value', () => {
    const one = last(probe(), [
      [30, says(6, 30)],
      [31, says(1, 30)],
    ])
    expect(one.reading).toBeNull()
  })

  it('the same time of a clock that is ahead is a duplicate, too: the own time counts', () => {
    const one = last(probe(), [
      [30, says(6, 90)],
      [31, says(6, 90)],
    ])
    expect(one.reading).toBeNull()
  })

  it('exactly two minutes ahead is good at the time of receipt, more is uncertain', () => {
    const good = last(probe(), [[0, says(6, 120)]])
    expect(good.reading).toMatchObject({ at: at(0), quality: 'good' })
    expect(last(probe(), [[0, says(6, 121)]]).reading).toMatchObject({ at: at(0), quality: 'uncertain' })
  })

  it('a lead of ten minutes is a fault of the clock, not of nine', () => {
    const ahead = (second: number) => [second, says(6, second + 60)] as const
    expect(last(probe(), [ahead(0), ahead(599)]).memory.clock.fault).toBe(false)
    expect(last(probe(), [ahead(0), ahead(600)]).memory.clock.fault).toBe(true)
  })

  it('retained without a time is the last known, not fresh; with one it goes by its time', () => {
    expect(last(probe(), [[600, says(6, null, { retained: true })]]).usable).toBe(false)
    expect(last(probe(), [[600, says(6, 590, { retained: true })]]).usable).toBe(true)
    expect(last(probe(), [[600, says(6, 100, { retained: true })]]).usable).toBe(false)
  })

  it('what a person enters is judged when entered, however old its time', () => {
    const one = last(probe(), [[86_400, says(6, 0, { source: 'book', by: 'first-keeper' })]])
    expect(one.usable).toBe(true)
    expect(one.reading?.historical).toBe(false)
  })
})

describe('the quality of a reading (AL-16, AL-18)', () => {
  const quality = (reading: Reading | null) => reading?.quality

  it('gross range: the ends are inside, beyond is bad and not usable', () => {
    const plan = probe({ plausible: [0, 25] })
    expect(quality(last(plan, [[0, says(25, 0)]]).reading)).toBe('good')
    const beyond = last(plan, [[0, says(25.01, 0)]])
    expect(quality(beyond.reading)).toBe('bad')
    expect(beyond.usable).toBe(false)
    expect(beyond.memory.usable).toBeNull()
  })

  it('what failed the gross range is missing for the spike test: a missing neighbour says nothing', () => {
    const tests = { userRange: null, spike: { suspect: 1, fail: 2 }, rate: null, flatLine: null }
    const plan = probe({ plausible: [0, 25], tests })
    expect(
      quality(
        last(plan, [
          [0, says(6, 0)],
          [30, says(30, 30)],
          [60, says(12, 60)],
        ]).reading,
      ),
    ).toBe('good')
    expect(
      quality(
        last(plan, [
          [0, says(6, 0)],
          [30, says(6, 30)],
          [60, says(12, 60)],
        ]).reading,
      ),
    ).toBe('bad')
    expect(
      quality(
        last(plan, [
          [0, says(6, 0)],
          [30, says(6, 30)],
          [60, says(7.5, 60)],
        ]).reading,
      ),
    ).toBe('uncertain')
  })

  it('no value and a claimed bad are bad', () => {
    expect(quality(last(probe(), [[0, says(null, 0)]]).reading)).toBe('bad')
    expect(quality(last(probe(), [[0, says(6, 0, { claimed: 'bad' })]]).reading)).toBe('bad')
  })

  it('a bad reading does not keep a signal fresh, an uncertain one does', () => {
    const plan = probe({ staleTime: minutes(2) })
    const after = (claimed: 'bad' | 'uncertain') =>
      last(plan, [
        [0, says(6, 0)],
        [60, says(6, 60, { claimed })],
      ]).memory
    expect(staleDue(plan, after('bad'))).toBe(at(120))
    expect(staleDue(plan, after('uncertain'))).toBe(at(180))
    expect(staleDue(probe({ staleTime: null }), after('bad'))).toBeNull()
  })

  it('the limits are the probe’s own', () => {
    expect(last(probe({ lateLimit: seconds(5) }), [[6, says(6, 0)]]).usable).toBe(false)
    expect(last(probe({ futureLimit: seconds(5) }), [[0, says(6, 6)]]).reading?.quality).toBe('uncertain')
  })
})
