import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import type { History } from '../../daemon/ports/history.js'
import type { OutboxEntry, Recorder } from '../../daemon/ports/recorder.js'
import { epochMs } from '../../daemon/units/time.js'
import { FakeClock } from '../support/fake-clock.js'
import { batch, nitrite, oxygen, reading, upsStatus } from './example-batch.js'

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
