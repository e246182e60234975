import type { Priority, Severity } from '../alarms/rule.js'
import type { AlarmSettings } from '../settings/schema.js'
import { minutes, type Milliseconds } from '../units/time.js'
import { isBuiltIn, usualPriorities, type BareRule } from './built-in.js'
import type { Remark } from './report.js'

/** AL-23; columns: up to 15 min, up to 60 min, longer. Null is "none (an alert)". */
const matrix: Readonly<Record<Severity, readonly [Priority, Priority, Priority | null]>> = {
  severe: ['critical', 'high', 'medium'],
  serious: ['high', 'medium', 'low'],
  minor: ['medium', 'low', null],
}

/**
 * Priority from the consequence and the time in which a response still helps (AL-23). Null: by the matrix this is an
 * alert, to be known, not to be acted on.
 */
export function priorityFor(severity: Severity, respondWithin: Milliseconds): Priority | null {
  const [soon, within, later] = matrix[severity]
  if (respondWithin <= minutes(15)) return soon
  return respondWithin <= minutes(60) ? within : later
}

/** By consequence and time (AL-23), by hand, or, of a built-in id, the usual one; else medium (settings). */
export function prioritiesOf(
  entry: AlarmSettings,
  remark: Remark,
): Pick<BareRule, 'priority' | 'priorityFrom'> {
  const { severity, respond_within: respondWithin } = entry
  if (severity !== undefined && respondWithin !== undefined) {
    const found = priorityFor(severity, respondWithin)
    if (found === null) {
      remark(
        `alarm ${entry.id} is minor with more than an hour to respond: an alert, kept as a low alarm that calls nobody`,
      )
    }
    return { priority: found ?? 'low', priorityFrom: { kind: 'consequence', severity, respondWithin } }
  }
  if (entry.priority !== undefined) return { priority: entry.priority, priorityFrom: { kind: 'by-hand' } }
  if (isBuiltIn(entry.id)) return { priority: usualPriorities[entry.id], priorityFrom: { kind: 'built-in' } }
  return { priority: 'medium', priorityFrom: { kind: 'by-hand' } }
}
