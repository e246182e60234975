import type { Priority, Severity } from '../alarms/rule.js'
import { minutes, type Milliseconds } from '../units/time.js'

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
