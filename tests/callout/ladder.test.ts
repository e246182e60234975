import { describe, expect, it } from 'vitest'
import { alarmId } from '../../daemon/alarms/rule.js'
import {
  noteUnreached,
  runDue,
  stepFailed,
  stillCalls,
  takeDue,
  type Run,
} from '../../daemon/callout/ladder.js'
import type { Ladder, LadderStep } from '../../daemon/callout/people.js'
import { epochMs, minutes, seconds, type EpochMs } from '../../daemon/units/time.js'

const base = epochMs(Date.UTC(2027, 0, 13, 1))
/** Minutes after the activation. */
const at = (minute: number): EpochMs => epochMs(base + minute * 60_000)

const call = (after: number): LadderStep => ({
  kind: 'call',
  after: minutes(after),
  target: { kind: 'on-duty' },
  by: ['text'],
})
const ladder = (change: Partial<Ladder> = {}): Ladder => ({
  name: 'night',
  steps: [call(0), call(5), call(10)],
  repeat: { every: minutes(10), times: 3 },
  reAlarm: null,
  ...change,
})
const run = (change: Partial<Run> = {}): Run => ({
  alarm: alarmId('oxygen-low', 'tank-1'),
  occurrence: 1,
  number: 1,
  ladder: 'night',
  base,
  next: 0,
  repeats: 0,
  collectUntil: null,
  steps: {},
  tried: [],
  switches: [],
  again: false,
  chattering: 'no',
  ...change,
})
const done = (one: ReturnType<typeof takeDue>) =>
  one.actions.map((action) => (action.kind === 'step' ? `step ${action.index + 1}` : `repeat ${action.time}`))

describe('a ladder (AL-25)', () => {
  it('steps have their times from the activation, repeats from the last step; then nothing', () => {
    const due: (EpochMs | null)[] = []
    let now = run()
    for (let count = 0; count < 7; count += 1) {
      const next = runDue(ladder(), now)
      due.push(next)
      if (next !== null) now = takeDue(ladder(), now, next).run
    }
    expect(due).toEqual([at(0), at(5), at(10), at(20), at(30), at(40), null])
  })

  it('a moment before its time nothing is due', () => {
    const early = takeDue(ladder(), run({ next: 1 }), epochMs(at(5) - 1))
    expect(early.actions).toEqual([])
    expect(early.run.next).toBe(1)
  })

  it('two steps with the same time are both due, in their order (AL-43)', () => {
    expect(done(takeDue(ladder({ steps: [call(0), call(0), call(5)] }), run(), at(0)))).toEqual([
      'step 1',
      'step 2',
    ])
  })

  it('without repeats it ends with the last step', () => {
    expect(runDue(ladder({ repeat: { every: minutes(10), times: 0 } }), run({ next: 3 }))).toBeNull()
  })

  it('signals lost together are collected before the first word (AL-49)', () => {
    const collecting = run({ collectUntil: epochMs(base + seconds(10)) })
    expect(runDue(ladder(), collecting)).toBe(epochMs(base + seconds(10)))
    expect(runDue(ladder(), { ...collecting, next: 1 })).toBe(at(5))
  })
})

describe('after a stop (AL-27, AL-44, AL-50)', () => {
  it('each overdue step runs once, later ones keep their times', () => {
    const late = takeDue(ladder(), run({ next: 1 }), at(7))
    expect(done(late)).toEqual(['step 2'])
    expect(runDue(ladder(), late.run)).toBe(at(10))
  })

  it('of missed repeats one is made, and all count', () => {
    const late = takeDue(ladder(), run({ next: 3 }), at(35))
    expect(done(late)).toEqual(['repeat 2'])
    expect(runDue(ladder(), late.run)).toBe(at(40))
  })

  it('after a very long one: every step, one repeat, then silence', () => {
    const late = takeDue(ladder(), run({ next: 1 }), at(600))
    expect(done(late)).toEqual(['step 2', 'step 3', 'repeat 3'])
    expect(runDue(ladder(), late.run)).toBeNull()
  })
})

describe('whether it will still call (AL-37)', () => {
  const siren: LadderStep = { kind: 'switch-on', after: minutes(15), channel: 'siren' }
  const once = { every: minutes(10), times: 0 }

  it('while steps or repeats are left', () => {
    expect(stillCalls(ladder(), run())).toBe(true)
    expect(stillCalls(ladder(), run({ next: 3, repeats: 2 }))).toBe(true)
    expect(stillCalls(ladder(), run({ next: 3, repeats: 3 }))).toBe(false)
  })

  it('a siren alone tells nobody what is the matter', () => {
    const loud = ladder({ steps: [call(0), siren], repeat: once })
    expect(stillCalls(loud, run())).toBe(true)
    expect(stillCalls(loud, run({ next: 1 }))).toBe(false)
  })
})

describe('who could not be reached (AL-26)', () => {
  it('a step has failed when all its people are unreached, not before; twice unreached is once', () => {
    const two = run({ steps: { '1': { people: ['first', 'second'], failed: [] } } })
    const one = noteUnreached(two, '1', 'first')
    const failed = (now: Run) => {
      const progress = now.steps['1']
      return progress !== undefined && stepFailed(progress)
    }
    expect(failed(one)).toBe(false)
    expect(noteUnreached(one, '1', 'first')).toBe(one)
    expect(failed(noteUnreached(one, '1', 'second'))).toBe(true)
    expect(stepFailed({ people: [], failed: [] })).toBe(false)
  })

  it('of an unknown step nothing is noted', () => {
    expect(noteUnreached(run(), '4', 'first')).toEqual(run())
  })
})
