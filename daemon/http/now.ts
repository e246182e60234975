import type { AlarmRule } from '../alarms/rule.js'
import type { FarmPlan } from '../farm/plan.js'
import type { Snapshot } from '../ports/door.js'
import type { Change, Limit, Now, Stage } from './contract.js'

/** What a page needs to know at once: the watch's snapshot and, from the plan, limits and people. */
export function nowOf(snapshot: Snapshot, plan: FarmPlan, stage: Stage | null): Now {
  const rules: ReadonlyMap<string, AlarmRule> = plan.alarms
  return {
    ...snapshot,
    alarms: snapshot.alarms.map((alarm) => ({ ...alarm, signal: signalOf(rules.get(alarm.id)) })),
    limits: limitsOf(plan),
    people: [...plan.people.values()].map(({ id, name }) => ({ id, name })),
    stage,
  }
}

/** Every limit on a value, in the signal's canonical unit. */
export function limitsOf(plan: FarmPlan): readonly Limit[] {
  return [...plan.alarms.values()].flatMap(({ id, priority, condition }) =>
    condition.kind === 'above' || condition.kind === 'below'
      ? [{ signal: condition.signal, alarm: id, priority, beyond: condition.kind, limit: condition.limit }]
      : [],
  )
}

/** Only where a number stands against a limit: of an unusable signal the value is just what must not be shown. */
function signalOf(rule: AlarmRule | undefined): string | null {
  const condition = rule?.condition
  if (condition === undefined) return null
  return condition.kind === 'above' || condition.kind === 'below' || condition.kind === 'rate'
    ? condition.signal
    : null
}

const same = (one: unknown, other: unknown): boolean => JSON.stringify(one) === JSON.stringify(other)

/**
 * What a page that knows `before` must be told to know `after`: null when nothing changed but the time, 'all' when the
 * signals themselves are others (a new configuration).
 */
export function changeOf(before: Now, after: Now): Change | 'all' | null {
  const names = (now: Now) => now.signals.map(({ signal }) => signal)
  if (!same(names(before), names(after))) return 'all'
  const signals = after.signals.filter((signal, index) => !same(signal, before.signals[index]))
  const { at, signals: _all, ...rest } = after
  const parts = Object.entries(rest).filter(([name, part]) => !same(part, before[name as keyof Now]))
  if (signals.length === 0 && parts.length === 0) return null
  return { at, ...(signals.length === 0 ? {} : { signals }), ...Object.fromEntries(parts) }
}
