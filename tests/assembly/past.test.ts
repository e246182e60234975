import { beforeEach, describe, expect, it } from 'vitest'
import { openPast, type PastAtWork } from '../../daemon/assembly/past.js'
import { compileGraph } from '../../daemon/derive/compile-graph.js'
import type { RecordedReading } from '../../daemon/ports/history.js'
import { silentLog } from '../../daemon/ports/log.js'
import type { CorrectionWish } from '../../daemon/ports/past.js'
import { memoryStore, type MemoryStore } from '../../daemon/storage/memory/memory-store.js'
import { epochMs, hours, minutes, seconds, type EpochMs } from '../../daemon/units/time.js'
import { batch } from '../contracts/example-batch.js'
import { FakeClock } from '../support/fake-clock.js'
import { late, oxygen, pastFarm, reading, saturation, saturationOf, temperature } from './past-farm.js'

const start = epochMs(Date.UTC(2027, 0, 10))
const plan = pastFarm()

let clock: FakeClock
let store: MemoryStore
let work: PastAtWork

const open = (): PastAtWork =>
  openPast({ recorder: store.recorder, history: store.history, plan: () => plan, clock, log: silentLog })

beforeEach(() => {
  clock = new FakeClock(start)
  store = memoryStore(clock)
  work = open()
})

/** Lets so much time pass and the work that falls due then be done. */
async function pass(span: ReturnType<typeof seconds>): Promise<void> {
  clock.advance(span)
  await work.idle()
}

const computed = async (from: EpochMs = epochMs(0), to: EpochMs = epochMs(8e15)) =>
  (await store.history.readings([saturation], from, to, 1e6)).readings

/** An hour of the tank: oxygen falls from 8 mg/L by 0.01 every half minute; the watch computed what it should. */
async function anHour(missing: (step: number) => boolean = () => false): Promise<void> {
  const readings = Array.from({ length: 120 }, (_, step) => [
    ...(missing(step) ? [] : [reading(oxygen, start + step * 30_000, 8 - step / 100)]),
    reading(temperature, start + step * 30_000, 26),
  ]).flat()
  work.recorder.commit(batch({ readings }))
  clock.advance(hours(1))
  // What the watch would have kept: by the same rule, from an empty record.
  work.past.recompute({ signals: '*/*', from: start, to: clock.now(), by: 'first-keeper' })
  await pass(seconds(10))
  expect((await computed()).length).toBeGreaterThanOrEqual(60)
}

/** How many computed values of the farm are different from what they were. */
async function different(before: readonly RecordedReading[]): Promise<number> {
  const rows = (all: readonly RecordedReading[]) => all.map((one) => JSON.stringify(one))
  const [was, is] = [rows(before), rows(await everything())]
  const moments = (some: readonly string[]) =>
    some.map((one) => {
      const { signal, at } = JSON.parse(one) as RecordedReading
      return `${signal} ${at}`
    })
  return new Set(
    moments([...was.filter((one) => !is.includes(one)), ...is.filter((one) => !was.includes(one))]),
  ).size
}

const everything = async () => {
  const signals = [...compileGraph(plan).nodes.keys()]
  return (await store.history.readings(signals, epochMs(0), epochMs(8e15), 1e6)).readings
}

const correct = (more: Partial<CorrectionWish> = {}) =>
  work.past.correct({
    ...{ signal: oxygen, from: epochMs(start + minutes(20)), to: epochMs(start + minutes(40)) },
    ...{ points: [{ reads: 7.5, truth: 8.25 }], by: 'first-keeper', why: 'checked with the meter' },
    ...more,
  })

describe('a probe that was off', () => {
  beforeEach(() => anHour())

  it('is read as it should have been, and what it led to is computed anew; what it sent stays', async () => {
    const before = await everything()
    const { correction } = correct()
    expect(correction).toMatchObject({ id: 1, gain: 1.1, offset: 0, undone: null })
    await pass(seconds(10))
    for (const { at, value } of await computed()) {
      const step = Math.floor((at - start) / 30_000)
      const sent = 8 - step / 100
      const wasOff = at >= start + minutes(20) && at < start + minutes(40)
      if (at < start + minutes(60)) expect(value).toBeCloseTo(saturationOf(wasOff ? sent * 1.1 : sent), 6)
    }
    const course = await store.history.samples(
      oxygen,
      epochMs(start + minutes(20)),
      epochMs(start + minutes(21)),
      9,
    )
    expect(course.map(({ value }) => value)).toEqual(
      [8.36, 8.349].map((one) => expect.closeTo(one, 6) as number),
    )
    const raw = await store.history.rawSamples(
      oxygen,
      epochMs(start + minutes(20)),
      epochMs(start + minutes(21)),
      9,
    )
    expect(raw.map(({ value }) => value)).toEqual([7.6, 7.59])
    expect(work.past.recomputations().at(-1)).toMatchObject({
      ...{ finished: true, changed: await different(before) },
    })
    expect(await different(before)).toBeGreaterThanOrEqual(20)
  })

  it('is told in the journal, and so is what came of it', async () => {
    correct()
    await pass(seconds(10))
    const lines = await store.history.journal(epochMs(0), epochMs(8e15), 10)
    expect(lines.slice(1)).toMatchObject([
      { event: 'correction', about: oxygen, doc: { by: 'first-keeper', why: 'checked with the meter' } },
      { event: 'recomputed', doc: { of: oxygen, by: 'first-keeper' } },
    ])
  })

  it('taken back, everything is again as it was', async () => {
    const before = await computed()
    const { correction } = correct()
    await pass(seconds(10))
    expect(await computed()).not.toEqual(before)
    work.past.undo(correction.id, { by: 'first-keeper', why: 'the meter was off' })
    await pass(seconds(10))
    expect(await computed()).toEqual(before)
    expect(work.past.corrections()).toMatchObject([{ id: 1, undone: { why: 'the meter was off' } }])
  })

  it('corrected twice, the later counts where both do; taken back, the earlier one again', async () => {
    correct({ points: [{ reads: 1, truth: 2 }], from: start })
    const { correction } = correct()
    const valueAt = async (minute: number) => {
      const at = start + minutes(minute)
      return (await store.history.samples(oxygen, epochMs(at), epochMs(at + 1), 9))[0]?.value
    }
    expect(await valueAt(10)).toBeCloseTo(7.8 * 2, 6)
    expect(await valueAt(30)).toBeCloseTo(7.4 * 1.1, 6)
    work.past.undo(correction.id, { by: 'first-keeper', why: 'wrong tank' })
    expect(await valueAt(30)).toBeCloseTo(7.4 * 2, 6)
  })

  it('corrections, and what of them is not done yet, outlast a stop', async () => {
    correct()
    await work.close()
    work = open()
    expect(work.past.corrections()).toMatchObject([{ id: 1, gain: 1.1 }])
    await pass(seconds(10))
    const [at20] = await computed(epochMs(start + minutes(20)))
    expect(at20?.value).toBeCloseTo(saturationOf(7.6 * 1.1), 6)
    expect(store.recorder.restore().docs).toEqual([])
  })

  it('computed again without a reason nothing changes', async () => {
    const before = await computed()
    work.past.recompute({
      signals: 'tank-1/*',
      from: start,
      to: epochMs(start + hours(1)),
      by: 'first-keeper',
    })
    await pass(seconds(10))
    expect(work.past.recomputations().at(-1)).toMatchObject({ finished: true, changed: 0 })
    expect(await computed()).toEqual(before)
  })

  it.each<[string, Partial<CorrectionWish>, string]>([
    ['an unknown place', { signal: 'tank-9/dissolved_oxygen' }, 'there is no place or equipment "tank-9"'],
    ['an unknown quantity', { signal: 'tank-1/oxigen' }, 'there is no quantity "oxigen"'],
    ['a computed signal', { signal: saturation }, 'tank-1/oxygen_saturation is computed, not measured'],
    ['words', { signal: 'tank-1/status' }, 'tank-1/status is words'],
    ['a span that has not come', { to: epochMs(start + hours(9)) }, '2027-01-10T09:00:00Z has not come yet'],
    ['a span that ends before it begins', { to: start }, 'the span from 2027-01-10T00:20:00Z'],
    ['no reason', { why: ' ' }, 'a correction needs a reason'],
    ['a probe that is broken', { points: [{ reads: 1, truth: 6 }] }, 'multiply every reading by 6'],
    [
      'one that reads almost nothing',
      { points: [{ reads: 6, truth: 1 }] },
      'multiply every reading by 0.167',
    ],
    ['no point', { points: [] }, 'one or two known points, not 0'],
  ])('is refused kindly: %s', (_, wish, says) => {
    expect(() => correct(wish)).toThrow(says)
    expect(work.past.corrections()).toEqual([])
    expect(() => correct(wish)).toThrow(expect.objectContaining({ code: 'BW_CALC' }) as Error)
  })

  it('a correction that is not there, or no longer, cannot be taken back', () => {
    const reason = { by: 'first-keeper', why: 'wrong' }
    expect(() => work.past.undo(4, reason)).toThrow('there is no correction 4')
    const { correction } = correct()
    work.past.undo(correction.id, reason)
    expect(() => work.past.undo(correction.id, reason)).toThrow('correction 1 was taken back')
  })
})

describe('readings that come late', () => {
  it('fill the hole that they left in what is computed, and change nothing else', async () => {
    const isMissing = (step: number): boolean => step >= 40 && step < 80
    await anHour(isMissing)
    const inThere = ({ at }: { at: number }) => at >= start + minutes(20) && at < start + minutes(40)
    const before = await computed()
    expect(before.filter(inThere).at(-1)).toMatchObject({ value: null, quality: 'bad' })
    const steps = Array.from({ length: 120 }, (_, step) => step).filter(isMissing)
    const readings = steps.map((step) => late(oxygen, start + step * 30_000, 8 - step / 100))
    // As a probe delivers: some at a time.
    for (let from = 0; from < readings.length; from += 7) {
      work.recorder.commit(batch({ readings: readings.slice(from, from + 7) }))
      await pass(seconds(1))
    }
    await pass(seconds(10))
    const now = await computed()
    expect(now.filter(inThere).length).toBeGreaterThanOrEqual(20)
    for (const { at, value, quality } of now.filter(inThere)) {
      expect(value).toBeCloseTo(saturationOf(8 - Math.floor((at - start) / 30_000) / 100), 6)
      expect(quality).toBe('good')
    }
    expect(now.filter((one) => !inThere(one))).toEqual(before.filter((one) => !inThere(one)))
    expect(store.recorder.restore().docs).toEqual([])
  })

  it('are passed over where nothing else is known: what was computed from readings now gone stays', async () => {
    const there = reading(saturation, start + 5000, 91, { source: 'computed' })
    work.recorder.commit(batch({ readings: [there, late(oxygen, start, 6)] }))
    await pass(hours(1))
    expect(await computed()).toMatchObject([{ at: there.at, value: 91 }])
  })

  it('wait a moment for more, so that an hour is computed once', async () => {
    await anHour()
    work.recorder.commit(batch({ readings: [late(oxygen, start + minutes(20) + 1, 5)] }))
    await pass(seconds(4))
    expect(store.recorder.restore().docs).toHaveLength(1)
    await pass(seconds(2))
    expect(store.recorder.restore().docs).toEqual([])
  })
})

describe('asking for a span', () => {
  it('of nothing that is computed says what is', () => {
    const wish = { from: start, to: start, by: 'first-keeper' }
    expect(() => work.past.recompute({ ...wish, signals: 'tank-1/oxygen_saturatoin' })).toThrow(
      'nothing that is computed is called "tank-1/oxygen_saturatoin"',
    )
  })

  it('is tried again when the store fails, without haste', async () => {
    await anHour()
    const { recorder } = store
    let fails = 2
    const failing = {
      ...recorder,
      commit: (one: Parameters<typeof recorder.commit>[0]): void => {
        if (one.computedAnew !== undefined && (fails -= 1) >= 0) throw new Error('the disk is full')
        recorder.commit(one)
      },
    }
    await work.close()
    work = openPast({ recorder: failing, history: store.history, plan: () => plan, clock, log: silentLog })
    work.past.recompute({ signals: '*/*', from: start, to: clock.now(), by: 'first-keeper' })
    await pass(seconds(6))
    expect(fails).toBe(1)
    await pass(seconds(9))
    expect(fails).toBe(1)
    await pass(seconds(30))
    await pass(seconds(30))
    expect(work.past.recomputations()).toMatchObject([{ finished: true }])
  })
})
