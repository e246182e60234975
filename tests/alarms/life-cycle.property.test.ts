import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { advanceAlarm, delayDue, type AlarmEvent } from '../../daemon/alarms/life-cycle.js'
import { atRest, isActive, isHeld, stateWordOf, type AlarmMemory } from '../../daemon/alarms/memory.js'
import type { AlarmRule } from '../../daemon/alarms/rule.js'
import { epochMs, milliseconds, type EpochMs } from '../../daemon/units/time.js'
import { oxygenLow } from './rules.js'

/** Random histories: what happens, and how long after what happened before (ms). */
const finding = fc.constantFrom('violating', 'between', 'clear' as const)
const event: fc.Arbitrary<(now: EpochMs) => AlarmEvent> = fc.oneof(
  {
    weight: 8,
    arbitrary: fc.record({ finding, quality: fc.constantFrom('good', 'uncertain' as const) }).map(
      (s) =>
        (now: EpochMs): AlarmEvent =>
          ({ kind: 'sample', at: now, ...s }) as AlarmEvent,
    ),
  },
  { weight: 4, arbitrary: fc.constant((): AlarmEvent => ({ kind: 'due' })) },
  { weight: 2, arbitrary: fc.constant((): AlarmEvent => ({ kind: 'acknowledge', by: 'first-keeper' })) },
  fc.boolean().map((oneShot) => (now: EpochMs): AlarmEvent => ({
    kind: 'shelve',
    by: 'first-keeper',
    why: 'probe out',
    until: epochMs(now + 60_000),
    oneShot,
  })),
  fc.constant((): AlarmEvent => ({ kind: 'unshelve' })),
  fc
    .boolean()
    .map((asLesser) => (): AlarmEvent => ({ kind: 'suppress', under: 'mains-lost@mains', asLesser })),
  fc.constant((): AlarmEvent => ({ kind: 'unsuppress' })),
  fc.boolean().map((violating) => (): AlarmEvent => ({ kind: 'release', violating, acknowledged: null })),
  fc.constant((): AlarmEvent => ({ kind: 'out-of-service', by: 'first-keeper', why: 'repair', until: null })),
  fc.boolean().map((violating) => (): AlarmEvent => ({ kind: 'return-to-service', violating })),
  fc.constant((): AlarmEvent => ({ kind: 'reset' })),
  fc.constant((): AlarmEvent => ({ kind: 're-alarm' })),
  fc.constant((): AlarmEvent => ({ kind: 'stale' })),
)
const history = fc.array(fc.tuple(fc.integer({ min: 0, max: 200_000 }), event), {
  minLength: 1,
  maxLength: 60,
})
const rules = fc
  .record({
    onDelay: fc.constantFrom(0, 60_000, 120_000),
    offDelay: fc.constantFrom(0, 180_000),
    latching: fc.boolean(),
    reAlarm: fc.constantFrom(null, 300_000),
  })
  .map((r): AlarmRule =>
    oxygenLow({
      onDelay: milliseconds(r.onDelay),
      offDelay: milliseconds(r.offDelay),
      latching: r.latching,
      reAlarm: r.reAlarm === null ? null : milliseconds(r.reAlarm),
    }),
  )

interface Step {
  readonly before: AlarmMemory
  readonly event: AlarmEvent
  readonly next: AlarmMemory
  readonly now: EpochMs
}

/** Lives a history, the alarm's own due times kept as the clock would keep them. */
function live(
  rule: AlarmRule,
  course: readonly (readonly [number, (now: EpochMs) => AlarmEvent])[],
  between = (memory: AlarmMemory) => memory,
): Step[] {
  const steps: Step[] = []
  let memory = atRest
  let now = epochMs(1_800_000_000_000)
  let nextNumber = 1
  const take = (happened: AlarmEvent, at: EpochMs): void => {
    const before = between(memory)
    memory = advanceAlarm(rule, before, happened, { now: at, nextNumber })
    if (memory.occurrences > before.occurrences) nextNumber += 1
    steps.push({ before, event: happened, next: memory, now: at })
  }
  for (const [wait, make] of course) {
    const until = epochMs(now + wait)
    for (let due = delayDue(rule, memory); due !== null && due <= until; due = delayDue(rule, memory))
      take({ kind: 'due' }, due > now ? due : now)
    now = until
    take(make(now), now)
  }
  return steps
}

const runs = { numRuns: 2000 }
const everyStep = (holds: (step: Step, rule: AlarmRule) => void): void =>
  fc.assert(
    fc.property(rules, history, (rule, course) => {
      for (const step of live(rule, course)) holds(step, rule)
    }),
    runs,
  )

describe('the life cycle of an alarm, over random histories', () => {
  it('an active alarm that nobody holds always has an open occurrence', () => {
    everyStep(({ next }) => {
      if (isActive(next) && !isHeld(next)) expect(next.open).not.toBeNull()
    })
  })

  it('no new occurrence is made while it is shelved, suppressed or out of service', () => {
    everyStep(({ before, next }) => {
      if (isHeld(next)) expect(next.occurrences).toBe(before.occurrences)
    })
  })

  it('occurrences count up one by one', () => {
    everyStep(({ before, next }) => expect([0, 1]).toContain(next.occurrences - before.occurrences))
  })

  it('an acknowledgement changes neither condition nor latch', () => {
    everyStep(({ before, event: happened, next }) => {
      if (happened.kind !== 'acknowledge') return
      expect(next.condition).toEqual(before.condition)
      expect(next.latched).toBe(before.latched)
    })
  })

  it('it becomes active only after the condition has been there for the on-delay', () => {
    everyStep(({ before, next, now }, rule) => {
      if (isActive(before) || next.condition.kind !== 'active') return
      expect(now - next.condition.since).toBeGreaterThanOrEqual(rule.onDelay)
    })
  })

  it('it clears only when good data has met the return criterion for the off-delay', () => {
    everyStep(({ before, event: happened, next, now }, rule) => {
      if (before.condition.kind !== 'active' || isActive(next)) return
      if (happened.kind === 'release' || happened.kind === 'return-to-service') return
      const since =
        before.condition.clearing ?? (happened.kind === 'sample' && happened.quality === 'good' ? now : null)
      expect(since).not.toBeNull()
      expect(now - Number(since)).toBeGreaterThanOrEqual(rule.offDelay)
    })
  })

  it('uncertain data never begins to clear it', () => {
    everyStep(({ before, event: happened, next }) => {
      if (happened.kind !== 'sample' || happened.quality !== 'uncertain') return
      if (
        before.condition.kind === 'active' &&
        before.condition.clearing === null &&
        next.condition.kind === 'active'
      ) {
        expect(next.condition.clearing).toBeNull()
      }
    })
  })

  it('staleness changes no state', () => {
    everyStep(({ before, event: happened, next }) => {
      if (happened.kind === 'stale') expect(stateWordOf(next)).toBe(stateWordOf(before))
    })
  })

  it('a latch ends by reset alone', () => {
    everyStep(({ before, event: happened, next }) => {
      if (before.latched && happened.kind !== 'reset') expect(next.latched).toBe(true)
    })
  })

  it('a memory that went to disk and back lives the same life', () => {
    fc.assert(
      fc.property(rules, history, (rule, course) => {
        const kept = live(rule, course).map((step) => step.next)
        const restored = live(
          rule,
          course,
          (memory) => JSON.parse(JSON.stringify(memory)) as AlarmMemory,
        ).map((step) => step.next)
        expect(restored).toEqual(kept)
      }),
      runs,
    )
  })

  const allowed: Record<string, readonly string[]> = {
    NORM: ['UNACK'],
    UNACK: ['ACKED', 'RTNUN', 'LATUN', 'UNACK'],
    ACKED: ['NORM', 'LATAK', 'UNACK'],
    RTNUN: ['NORM', 'UNACK'],
    LATUN: ['LATAK', 'UNACK'],
    LATAK: ['NORM', 'UNACK'],
  }

  it('without holds only the transitions of the state model occur (alarm-standards 1.5)', () => {
    everyStep(({ before, next }) => {
      if (isHeld(before) || isHeld(next)) return
      const [from, to] = [stateWordOf(before), stateWordOf(next)]
      if (from !== to) expect(allowed[from]).toContain(to)
    })
  })
})
