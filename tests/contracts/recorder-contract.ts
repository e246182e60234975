import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import type { OutboxEntry, Recorder, StateDoc } from '../../daemon/ports/recorder.js'
import type { Reading } from '../../daemon/readings/reading.js'
import { epochMs, hours, minutes, seconds } from '../../daemon/units/time.js'
import { FakeClock } from '../support/fake-clock.js'
import { batch, correction, emptyBatch, nitrite, oxygen, reading, upsStatus } from './example-batch.js'

/** What a suite needs of an implementation: one that can be closed and opened again on what it kept. */
export interface RecorderUnderTest {
  readonly recorder: Recorder
  reopen(): Recorder
  dispose(): void
}

export type OpenRecorder = (clock: FakeClock) => RecorderUnderTest

const start = Date.UTC(2027, 0, 10)
const call = (id: number, parts: Partial<OutboxEntry> = {}): OutboxEntry => ({
  id,
  at: epochMs(start),
  channel: 'text',
  to: 'first-keeper',
  doc: { text: `call ${id}` },
  ...parts,
})
const alarm = (id: string, doc: unknown): StateDoc => ({ kind: 'alarm', id, doc })

/** The promises of `daemon/ports/recorder.ts`. */
export function recorderContract(kind: string, open: OpenRecorder): void {
  describe(`a recorder keeps its promises: ${kind}`, () => {
    let clock: FakeClock
    let store: RecorderUnderTest
    beforeEach(() => {
      clock = new FakeClock(epochMs(start))
      store = open(clock)
    })
    afterEach(() => {
      store.dispose()
    })

    readingPromises(() => store)
    computedPromises(() => store)
    correctionPromises(() => store)
    statePromises(() => store)
    callPromises(() => store)

    it('is empty at first', () => {
      expect(store.recorder.restore()).toEqual({
        ...{ docs: [], newest: [], pending: [], corrections: [], lastCommit: null },
      })
    })

    it('tells when the last batch was committed', () => {
      clock.advance(minutes(5))
      store.recorder.commit(batch({ readings: [reading(start)] }))
      clock.advance(seconds(3))
      store.recorder.commit(emptyBatch)
      clock.advance(hours(1))
      expect(store.recorder.restore().lastCommit).toBe(start + 303_000)
      expect(store.reopen().restore().lastCommit).toBe(start + 303_000)
    })

    it('goes on after the clock was set back', () => {
      store.recorder.commit(batch({ readings: [reading(start)] }))
      clock.step(hours(-3))
      const earlier = start - 3 * 3_600_000
      store.recorder.commit(batch({ readings: [reading(earlier), reading(earlier, { signal: nitrite })] }))
      const { newest, lastCommit } = store.reopen().restore()
      expect(new Map(newest.map(({ signal, at }) => [signal, at]))).toEqual(
        new Map([
          [oxygen, start],
          [nitrite, earlier],
        ]),
      )
      expect(lastCommit).toBe(earlier)
    })

    it('keeps nothing of a batch that is refused', () => {
      store.recorder.commit(batch({ outbox: [call(1)] }))
      const before = store.recorder.restore()
      const refused = batch({
        readings: [reading(start, { reasons: ['flat'] })],
        journal: [{ at: epochMs(start), event: 'state', about: null, doc: 1 }],
        upserts: [alarm('oxygen-low@tank-1', { state: 'UNACK' })],
        outbox: [call(2), call(1, { doc: { text: 'other words' } })],
      })
      expect(() => store.recorder.commit(refused)).toThrow(
        'outbox: call 1 is there already, with other words',
      )
      expect(store.recorder.restore()).toEqual(before)
      const same = { ...refused, outbox: [call(2)] }
      store.recorder.commit(same)
      const { newest, docs, pending } = store.reopen().restore()
      expect(newest).toEqual(same.readings)
      expect(docs).toEqual(same.upserts)
      expect(pending.map(({ id }) => id)).toEqual([1, 2])
    })
  })
}

function readingPromises(of: () => RecorderUnderTest): void {
  it.each([
    ['a plain one', reading(start + 1)],
    ['words', reading(start + 1, { signal: upsStatus, value: 'OB DISCHRG' })],
    [
      'none',
      reading(start + 1, { value: null, quality: 'bad', reasons: ['the probe says that it has no value'] }),
    ],
    ['empty words', reading(start + 1, { signal: upsStatus, value: '' })],
    ['a whole number', reading(start + 1, { value: 0 })],
    ['a very small one', reading(start + 1, { value: 5e-324 })],
    ['one with 17 digits', reading(start + 1, { value: 0.1 + 0.2 })],
    [
      'several reasons',
      reading(start + 1, { quality: 'uncertain', reasons: ['spike: 3.1 off', 'flat', 'flat'] }),
    ],
    ['a late one', reading(start + 1, { received: epochMs(start + 86_400_001), historical: true })],
    ['one measured after it came', reading(start + 1, { received: epochMs(start) })],
    ['a very long reason', reading(start + 1, { quality: 'bad', reasons: ['no'.repeat(5000)] })],
    ['one from the book', reading(start + 1, { signal: nitrite, source: 'book' })],
    ['a computed one', reading(start + 1, { source: 'computed' })],
  ])('gives back a reading as it was: %s', (_which, expected) => {
    const store = of()
    store.recorder.commit(batch({ readings: [expected] }))
    expect(store.recorder.restore().newest).toEqual([expected])
    expect(store.reopen().restore().newest).toEqual([expected])
  })

  it('takes what is no finite number as no value, rather than refuse everything that came with it', () => {
    const store = of()
    const signals = ['a/x', 'a/y', 'a/z'] as (typeof oxygen)[]
    const values = [Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]
    store.recorder.commit(
      batch({
        readings: signals.map((signal, place) => reading(start, { signal, value: values[place] ?? null })),
      }),
    )
    expect(
      store
        .reopen()
        .restore()
        .newest.map(({ value }) => value),
    ).toEqual([null, null, null])
  })

  it('keeps time to the millisecond', () => {
    const store = of()
    store.recorder.commit(batch({ readings: [reading(start + 0.4, { received: epochMs(start + 7.7) })] }))
    expect(store.reopen().restore().newest).toEqual([reading(start, { received: epochMs(start + 8) })])
  })

  it('takes the same signal, time and source twice as one reading: the first', () => {
    const store = of()
    store.recorder.commit(batch({ readings: [reading(start), reading(start, { value: 99 })] }))
    store.recorder.commit(batch({ readings: [reading(start, { value: 98 })] }))
    expect(store.reopen().restore().newest).toEqual([reading(start)])
  })

  it('knows the newest reading of every signal, whatever came late or was committed again', () => {
    const store = of()
    const day = 86_400_000
    store.recorder.commit(batch({ readings: [reading(start), reading(start - day, { signal: nitrite })] }))
    // Late: older than oxygen's newest, but newer than nitrite's.
    store.recorder.commit(
      batch({ readings: [reading(start - 7_200_000, { signal: nitrite }), reading(start - 7_200_000)] }),
    )
    store.recorder.commit(batch({ readings: [reading(start)] }))
    const newest = new Map(
      store
        .reopen()
        .restore()
        .newest.map(({ signal, at }) => [signal, at]),
    )
    expect(newest).toEqual(
      new Map([
        [oxygen, start],
        [nitrite, start - 7_200_000],
      ]),
    )
  })
}

const saturation = (at: number, value: number): Reading => reading(at, { value, source: 'computed' })

function computedPromises(of: () => RecorderUnderTest): void {
  const newest = (store: RecorderUnderTest) => store.reopen().restore().newest

  it('of computed values of one moment keeps the last', () => {
    const store = of()
    store.recorder.commit(batch({ readings: [saturation(start, 90), saturation(start, 91)] }))
    store.recorder.commit(batch({ readings: [saturation(start, 92)] }))
    expect(newest(store)).toEqual([saturation(start, 92)])
  })

  it('replaces computed values of the past, and leaves what was measured at the same moment', () => {
    const store = of()
    const measured = reading(start + 5, { signal: nitrite })
    const readings = [saturation(start, 90), saturation(start + 5, 91), measured]
    store.recorder.commit(batch({ readings }))
    const anew = { ...saturation(start + 5, 80), historical: true, received: epochMs(start + 999) }
    const gone = [{ signal: oxygen, at: epochMs(start) }]
    store.recorder.commit(batch({ computedAnew: { gone, readings: [anew] } }))
    expect(() => store.recorder.commit(batch({ computedAnew: { gone, readings: [measured] } }))).toThrow(
      'only computed readings are replaced',
    )
    expect(newest(store)).toEqual([anew, measured])
  })

  it('knows the one before when the newest is gone, and none when nothing is left', () => {
    const store = of()
    const of1 = [saturation(start, 90), saturation(start + 60_000, 91)]
    const of2 = reading(start, { signal: nitrite, source: 'computed' })
    store.recorder.commit(batch({ readings: [...of1, of2] }))
    const gone = [
      { signal: oxygen, at: epochMs(start + 60_000) },
      { signal: nitrite, at: epochMs(start) },
      { signal: nitrite, at: epochMs(start + 17) },
    ]
    store.recorder.commit(batch({ computedAnew: { gone, readings: [] } }))
    expect(store.recorder.restore().newest).toEqual(of1.slice(0, 1))
    expect(newest(store)).toEqual(of1.slice(0, 1))
  })

  it('takes out no measured reading of that moment', () => {
    const store = of()
    store.recorder.commit(batch({ readings: [reading(start)] }))
    const gone = [{ signal: oxygen, at: epochMs(start) }]
    store.recorder.commit(batch({ computedAnew: { gone, readings: [] } }))
    expect(newest(store)).toEqual([reading(start)])
  })
}

function correctionPromises(of: () => RecorderUnderTest): void {
  it('keeps every correction as it was made, and that it was taken back', () => {
    const store = of()
    const one = correction(1)
    store.recorder.commit(batch({ corrections: [one, correction(2, { why: 'Messgerät → falsch' })] }))
    const undone = { at: epochMs(start + 9), by: 'first-keeper', why: 'wrong tank' }
    store.recorder.commit(batch({ corrections: [{ ...one, gain: 4, undone }] }))
    expect(store.reopen().restore().corrections).toEqual([
      { ...one, undone },
      correction(2, { why: 'Messgerät → falsch' }),
    ])
  })
}

function statePromises(of: () => RecorderUnderTest): void {
  it('keeps the latest of every piece of state, and forgets what is deleted', () => {
    const store = of()
    store.recorder.commit(batch({ upserts: [alarm('a', { n: 1 }), alarm('b', { n: 1 }), alarm('c', null)] }))
    store.recorder.commit(
      batch({
        upserts: [
          alarm('a', { n: 2, deep: [{ ä: '→' }, null, true] }),
          { kind: 'run', id: 'a', doc: 'text' },
        ],
        deletes: [
          { kind: 'alarm', id: 'b' },
          { kind: 'run', id: 'unknown' },
        ],
      }),
    )
    const byKey = (one: StateDoc, other: StateDoc) => (one.kind + one.id < other.kind + other.id ? -1 : 1)
    expect([...store.reopen().restore().docs].sort(byKey)).toEqual([
      alarm('a', { n: 2, deep: [{ ä: '→' }, null, true] }),
      alarm('c', null),
      { kind: 'run', id: 'a', doc: 'text' },
    ])
  })

  it('deletes before it upserts', () => {
    const store = of()
    store.recorder.commit(batch({ upserts: [alarm('a', 1)] }))
    store.recorder.commit(batch({ upserts: [alarm('a', 2)], deletes: [{ kind: 'alarm', id: 'a' }] }))
    expect(store.recorder.restore().docs).toEqual([alarm('a', 2)])
  })

  it('is not changed by who changes his own copy afterwards', () => {
    const { recorder } = of()
    const doc = { state: 'UNACK' }
    recorder.commit(batch({ upserts: [alarm('a', doc)] }))
    doc.state = 'RTNUN'
    expect(recorder.restore().docs).toEqual([alarm('a', { state: 'UNACK' })])
  })
}

function callPromises(of: () => RecorderUnderTest): void {
  it('gives back the calls that have no outcome, oldest first', () => {
    const store = of()
    store.recorder.commit(batch({ outbox: [call(3), call(1), call(2), call(4)] }))
    const outcome = { at: epochMs(start + 5), detail: '250 ok' } as const
    store.recorder.commit(
      batch({
        outcomes: [
          { id: 2, outcome: 'accepted', ...outcome },
          { id: 4, outcome: 'temporary', ...outcome },
        ],
      }),
    )
    expect(store.reopen().restore().pending).toEqual([call(1), call(3)])
  })

  it('takes a call and its outcome in one batch, and an outcome of a call it does not know as nothing', () => {
    const store = of()
    store.recorder.commit(
      batch({
        outbox: [call(1)],
        outcomes: [
          { id: 1, at: epochMs(start), outcome: 'permanent', detail: '' },
          { id: 77, at: epochMs(start), outcome: 'permanent', detail: '' },
        ],
      }),
    )
    expect(store.reopen().restore().pending).toEqual([])
  })

  it('takes the same call again as the same', () => {
    const store = of()
    store.recorder.commit(batch({ outbox: [call(1)] }))
    store.recorder.commit(batch({ outbox: [call(1)] }))
    expect(store.reopen().restore().pending).toEqual([call(1)])
  })
}
