import { expect, it } from 'vitest'
import { createTally } from '../../daemon/decoding/tally.js'
import type { MonotonicMs } from '../../daemon/units/time.js'
import { received } from './builders.js'

const tick = (ms: number): MonotonicMs => ms as MonotonicMs
const junk = (topic: string) => ({ topic, kind: 'unmapped', reason: 'no entry' }) as const

it('lets the log speak once a minute of one topic, and counts all', () => {
  const tally = createTally()
  const told = [0, 1, 59_999, 60_000, 60_001].map((at) => tally.note(junk('a'), received, tick(at)))
  expect(told).toEqual([true, false, false, true, false])
  expect(tally.topics()).toEqual([{ ...junk('a'), count: 5, lastAt: received }])
  expect(tally.counts()).toEqual({ unmapped: 5, rejected: 0 })
})

it('keeps a flood of invented topics out of memory and log', () => {
  const tally = createTally()
  let told = 0
  for (let n = 0; n < 50_000; n += 1) if (tally.note(junk(`t${n}`), received, tick(n / 1000))) told += 1
  expect(told).toBe(20)
  expect(tally.topics()).toHaveLength(1000)
  expect(tally.topics().at(-1)?.topic).toBe('t49999')
  expect(tally.counts().unmapped).toBe(50_000)
})
