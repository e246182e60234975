import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import type { History } from '../../daemon/ports/history.js'
import type { OutboxEntry, Recorder } from '../../daemon/ports/recorder.js'
import { epochMs, hours, milliseconds } from '../../daemon/units/time.js'
import { FakeClock } from '../support/fake-clock.js'
import { batch, correction, nitrite, oxygen, reading, upsStatus } from './example-batch.js'

export interface HistoryUnderTest {
  readonly recorder: Recorder
  readonly history: History
  dispose(): Promise<void>
}

export type OpenHistory = (clock: FakeClock) => HistoryUnderTest

const ms = epochMs
const always = [ms(0), ms(Date.UTC(2100, 0))] as const

/** The promises of `daemon/ports/history.ts`. */
export function historyContract(kind: string, open: OpenHistory): void {
  describe(`a history keeps its promises: ${kind}`, () => {
    let store: HistoryUnderTest
    beforeEach(() => {
      store = open(new FakeClock())
    })
    afterEach(async () => {
      await store.dispose()
    })

    samplePromises(() => store)
    linePromises(() => store)
    correctedPromises(() => store)
    stretchPromises(() => store)

    it('is empty at first', async () => {
      expect(await store.history.samples(oxygen, ...always, 100)).toEqual([])
      expect(await store.history.journal(...always, 100)).toEqual([])
      expect(await store.history.calls(...always, 100)).toEqual([])
    })

    it('sees what was committed since it last looked', async () => {
      for (const at of [1, 2, 3]) {
        store.recorder.commit(batch({ readings: [reading(at)] }))
        expect(await store.history.samples(oxygen, ...always, 100)).toHaveLength(at)
      }
    })
  })
}

function samplePromises(of: () => HistoryUnderTest): void {
  it('gives a window of one signal in order of time, start included, end left out', async () => {
    const { recorder, history } = of()
    recorder.commit(
      batch({
        readings: [
          ...[30, 10, 20, 9].map((at) => reading(at, { value: at / 4 })),
          reading(15, { signal: nitrite }),
          reading(16, { value: null, quality: 'bad', reasons: ['no'] }),
          reading(17, { quality: 'uncertain' }),
        ],
      }),
    )
    expect(await history.samples(oxygen, ms(10), ms(30), 100)).toEqual([
      { at: 10, value: 2.5, quality: 'good' },
      { at: 16, value: null, quality: 'bad' },
      { at: 17, value: 7.25, quality: 'uncertain' },
      { at: 20, value: 5, quality: 'good' },
    ])
    expect(await history.samples(oxygen, ms(30), ms(10), 100)).toEqual([])
    expect(await history.samples(oxygen, ms(10), ms(10), 100)).toEqual([])
  })

  it('gives words as words', async () => {
    const { recorder, history } = of()
    recorder.commit(batch({ readings: [reading(1, { signal: upsStatus, value: 'OL' })] }))
    expect(await history.samples(upsStatus, ...always, 5)).toEqual([{ at: 1, value: 'OL', quality: 'good' }])
  })

  it('gives both of two doors at the same time', async () => {
    const { recorder, history } = of()
    recorder.commit(
      batch({
        readings: [
          reading(5, { signal: nitrite, value: 2, source: 'book' }),
          reading(5, { signal: nitrite, value: 1 }),
        ],
      }),
    )
    expect((await history.samples(nitrite, ...always, 5)).map(({ value }) => value)).toEqual([1, 2])
  })

  it('gives all when they are just as many as asked for, and never more when they are not', async () => {
    const { recorder, history } = of()
    recorder.commit(
      batch({ readings: Array.from({ length: 1000 }, (_, at) => reading(at, { value: at % 17 })) }),
    )
    expect(await history.samples(oxygen, ms(0), ms(1000), 1000)).toHaveLength(1000)
    for (const atMost of [3, 4, 50, 999]) {
      const { length } = await history.samples(oxygen, ms(0), ms(1000), atMost)
      expect(length).toBeLessThanOrEqual(atMost)
      expect(length).toBeGreaterThan(0)
    }
  })

  it('thinned, still shows the lowest oxygen of the night, the highest, and that the probe was bad for a while', async () => {
    const { recorder, history } = of()
    const night = Array.from({ length: 5000 }, (_, at) => reading(at * 1000, { value: 7 + (at % 10) / 10 }))
    night[2345] = reading(2_345_000, { value: 2.1 })
    night[4001] = reading(4_001_000, { value: 9.9, quality: 'uncertain' })
    night[3000] = reading(3_000_000, { value: 55, quality: 'bad', reasons: ['gross range'] })
    recorder.commit(batch({ readings: night }))
    const samples = await history.samples(oxygen, ms(0), ms(5_000_000), 60)
    const good = samples.filter(({ quality }) => quality !== 'bad')
    expect(samples.length).toBeLessThanOrEqual(60)
    expect(good.reduce((low, sample) => Math.min(low, Number(sample.value)), 99)).toBe(2.1)
    expect(good.reduce((high, sample) => Math.max(high, Number(sample.value)), 0)).toBe(9.9)
    expect(samples).toContainEqual({ at: 3_000_000, value: 55, quality: 'bad' })
    expect(samples.map(({ at }) => at)).toEqual(samples.map(({ at }) => at).sort((a, b) => a - b))
  })
}

function correctedPromises(of: () => HistoryUnderTest): void {
  const values = (samples: readonly { readonly value: unknown }[]) => samples.map(({ value }) => value)

  it('reads what a correction covers as it should have been, start included, end left out; raw as it was sent', async () => {
    const { recorder, history } = of()
    const readings = [999, 1000, 1999, 2000].map((at) => reading(at, { value: 4 }))
    recorder.commit(batch({ readings: [...readings, reading(1500, { value: null, quality: 'bad' })] }))
    recorder.commit(batch({ corrections: [correction(1)] }))
    expect(values(await history.samples(oxygen, ...always, 9))).toEqual([4, 5.5, null, 5.5, 4])
    expect(values(await history.rawSamples(oxygen, ...always, 9))).toEqual([4, 4, null, 4, 4])
  })

  it('corrects one signal, not another, and lets the later of two corrections count until it is taken back', async () => {
    const { recorder, history } = of()
    recorder.commit(
      batch({ readings: [reading(1500, { value: 4 }), reading(1500, { value: 4, signal: nitrite })] }),
    )
    const later = correction(2, { gain: 1, offset: 1, from: ms(1400), to: ms(1600) })
    recorder.commit(batch({ corrections: [correction(1), later] }))
    expect(values(await history.samples(oxygen, ...always, 9))).toEqual([5])
    expect(values(await history.samples(nitrite, ...always, 9))).toEqual([4])
    recorder.commit(
      batch({ corrections: [{ ...later, undone: { at: ms(1), by: 'first-keeper', why: 'no' } }] }),
    )
    expect(values(await history.samples(oxygen, ...always, 9))).toEqual([5.5])
    expect((await history.readings([oxygen], ...always, 9)).readings[0]?.value).toBe(5.5)
    expect((await history.usableBefore([oxygen], ms(1501), hours(1)))[0]?.value).toBe(5.5)
  })

  it('thins after it has corrected: the lowest of the corrected values is shown', async () => {
    const { recorder, history } = of()
    const readings = Array.from({ length: 3000 }, (_, at) => reading(at, { value: 4 + (at % 7) / 10 }))
    recorder.commit(batch({ readings, corrections: [correction(1, { gain: 0.5, offset: 0, to: ms(1001) })] }))
    const shown = await history.samples(oxygen, ms(0), ms(3000), 60)
    expect(Math.min(...values(shown).map(Number))).toBe((4 + (1000 % 7) / 10) / 2)
  })
}

function stretchPromises(of: () => HistoryUnderTest): void {
  it('gives several signals in order of time, of one moment in the order in which they were first recorded', async () => {
    const { recorder, history } = of()
    recorder.commit(batch({ readings: [reading(10, { signal: nitrite }), reading(10), reading(5)] }))
    recorder.commit(batch({ readings: [reading(20), reading(20, { signal: nitrite, source: 'book' })] }))
    recorder.commit(batch({ readings: [reading(20, { signal: nitrite, source: 'computed' })] }))
    recorder.commit(batch({ readings: [reading(15, { signal: upsStatus, value: 'OL' })] }))
    const { readings, to } = await history.readings([oxygen, nitrite], ms(0), ms(30), 99)
    expect(readings.map(({ at, signal, source }) => [at, signal, source])).toEqual([
      [5, oxygen, 'probe'],
      [10, nitrite, 'probe'],
      [10, oxygen, 'probe'],
      [20, nitrite, 'book'],
      [20, nitrite, 'computed'],
      [20, oxygen, 'probe'],
    ])
    expect(to).toBe(30)
  })

  it('gives so many and the rest of their last moment, and says how far that is', async () => {
    const { recorder, history } = of()
    const readings = [1, 2, 3].flatMap((at) => [reading(at), reading(at, { signal: nitrite })])
    recorder.commit(batch({ readings }))
    const ask = (from: number, atMost: number) => history.readings([oxygen, nitrite], ms(from), ms(9), atMost)
    expect(await ask(0, 3)).toMatchObject({ readings: [1, 1, 2, 2].map((at) => ({ at })), to: 3 })
    expect(await ask(3, 3)).toMatchObject({ readings: [{ at: 3 }, { at: 3 }], to: 9 })
    expect((await ask(0, 6)).to).toBe(9)
    expect(await history.readings([upsStatus], ms(0), ms(9), 3)).toEqual({ readings: [], to: 9 })
    expect(await history.readings([oxygen], ms(9), ms(0), 3)).toEqual({ readings: [], to: 0 })
  })

  it('leaves out what a broker had kept without a time, whose age nobody knows', async () => {
    const { recorder, history } = of()
    const kept = reading(5, { historical: true })
    const late = reading(6, { historical: true, received: ms(900) })
    recorder.commit(batch({ readings: [kept, late] }))
    expect((await history.readings([oxygen], ...always, 9)).readings.map(({ at }) => at)).toEqual([6])
    expect(await history.usableBefore([oxygen], ms(6), hours(1))).toEqual([])
    expect(await history.samples(oxygen, ...always, 9)).toHaveLength(2)
  })

  it('finds the last usable one of each signal before a moment, within reach', async () => {
    const { recorder, history } = of()
    const readings = [
      reading(10, { value: 1 }),
      reading(20, { value: 2 }),
      reading(25, { value: null, quality: 'bad' }),
      reading(26, { value: 9, quality: 'bad' }),
      reading(27, { value: 9, source: 'computed' }),
      reading(30, { value: 3 }),
      reading(18, { value: 4, quality: 'uncertain', signal: nitrite, source: 'book' }),
      reading(2, { signal: upsStatus, value: 'OL' }),
    ]
    recorder.commit(batch({ readings }))
    const all = [oxygen, nitrite, upsStatus]
    const found = await history.usableBefore(all, ms(30), milliseconds(20))
    expect(found).toEqual([
      { signal: nitrite, at: 18, value: 4, quality: 'uncertain', source: 'book' },
      { signal: oxygen, at: 20, value: 2, quality: 'good', source: 'probe' },
    ])
    expect(await history.usableBefore(all, ms(30), milliseconds(28))).toHaveLength(3)
    expect(await history.usableBefore([], ms(30), milliseconds(28))).toEqual([])
  })
}

function linePromises(of: () => HistoryUnderTest): void {
  it('gives the journal of a span in order, with its numbers, and of too many lines the newest', async () => {
    const { recorder, history } = of()
    const line = (at: number, about: string | null) => ({ at: ms(at), event: 'state', about, doc: { n: at } })
    recorder.commit(batch({ journal: [line(10, 'a'), line(20, null)] }))
    recorder.commit(batch({ journal: [line(30, 'a'), line(40, 'b')] }))
    const all = await history.journal(...always, 10)
    expect(all.map(({ seq: _seq, ...rest }) => rest)).toEqual([
      line(10, 'a'),
      line(20, null),
      line(30, 'a'),
      line(40, 'b'),
    ])
    expect(all.map(({ seq }) => seq)).toEqual([1, 2, 3, 4])
    const times = async (...asked: Parameters<History['journal']>) =>
      (await history.journal(...asked)).map(({ at }) => at)
    expect(await times(ms(20), ms(40), 10)).toEqual([20, 30])
    expect(await times(...always, 3)).toEqual([20, 30, 40])
    expect(await times(...always, 0)).toEqual([])
    expect(await times(...always, 10, 'a')).toEqual([10, 30])
    expect(await times(...always, 1, 'a')).toEqual([30])
  })

  it('gives the calls of a span with what became of them: the first outcome, which only "accepted" lets improve', async () => {
    const { recorder, history } = of()
    const call = (id: number): OutboxEntry => ({
      id,
      at: ms(id * 10),
      channel: 'text',
      to: 'first-keeper',
      doc: { text: 'oxygen low' },
    })
    const outcome = { at: ms(99), detail: '' }
    recorder.commit(batch({ outbox: [call(1), call(2), call(3), call(4)] }))
    recorder.commit(
      batch({
        outcomes: [
          { id: 2, outcome: 'accepted', ...outcome },
          { id: 3, outcome: 'temporary', ...outcome, detail: '451 later' },
        ],
      }),
    )
    recorder.commit(
      batch({
        outcomes: [
          { id: 2, outcome: 'delivered', at: ms(100), detail: 'receipt' },
          { id: 3, outcome: 'delivered', ...outcome },
        ],
      }),
    )
    expect(await history.calls(ms(10), ms(40), 10)).toEqual([
      { ...call(1), outcome: null, outcomeAt: null, detail: null },
      { ...call(2), outcome: 'delivered', outcomeAt: 100, detail: 'receipt' },
      { ...call(3), outcome: 'temporary', outcomeAt: 99, detail: '451 later' },
    ])
    expect((await history.calls(...always, 2)).map(({ id }) => id)).toEqual([3, 4])
  })
}
