import type { AlarmFacts, MessageFacts } from '../../daemon/callout/message-facts.js'
import type { Manner } from '../../daemon/callout/manner.js'
import { parseRfc3339, type EpochMs } from '../../daemon/units/time.js'

/** A moment that is known to be well written. */
export function moment(text: string): EpochMs {
  const at = parseRfc3339(text)
  if (at === null) throw new Error(`${text} is no RFC 3339 time`)
  return at
}

export const night: Manner = {
  language: 'en',
  showUnits: 'metric',
  timeZone: 'Europe/London',
  now: moment('2026-11-25T02:15:00Z'),
}

/** Contract 6's example: tank 1 loses its oxygen because Blower A lost pressure. */
export const oxygen: AlarmFacts = {
  alarm: 'oxygen-low@tank-1',
  rule: 'oxygen-low',
  occurrence: 3,
  number: 47,
  priority: 'critical',
  where: 'tank 1',
  measured: {
    quantity: 'dissolved_oxygen',
    value: 3.8,
    unit: 'mg/L',
    limit: 4.5,
    beyond: 'below',
    trend: 'falling',
  },
  mode: null,
  since: moment('2026-11-25T02:12:00Z'),
  minutesLeft: { minutes: 24.9, limit: 2, where: null },
  likely: { of: 'Blower A', mode: 'line_open' },
  response: 'Look at the blowers. Start the spare air pump. Stop feeding.',
  consequence: 'Fish suffocate within the hour.',
}

export const mains: AlarmFacts = {
  ...oxygen,
  alarm: 'mains-lost@mains',
  rule: 'mains-lost',
  number: 48,
  priority: 'high',
  where: 'mains',
  measured: null,
  mode: 'lost',
  minutesLeft: null,
  likely: null,
  response: 'Start the generator.',
  consequence: 'No air, no pump, no heat.',
}

export const cold: AlarmFacts = {
  ...oxygen,
  alarm: 'temperature-low@house',
  rule: 'temperature-low',
  number: 49,
  priority: 'medium',
  where: 'house',
  measured: {
    quantity: 'air_temperature',
    value: 4.2,
    unit: 'Cel',
    limit: 5,
    beyond: 'below',
    trend: 'steady',
  },
  minutesLeft: null,
  likely: null,
  response: null,
}

export const activation = (
  alarm: AlarmFacts,
  also: readonly AlarmFacts[] = [],
): Extract<MessageFacts, { kind: 'activation' }> => ({
  kind: 'activation',
  farm: 'Larkfield',
  alarm,
  also,
  chattering: false,
  step: 1,
  tried: [],
  again: false,
})
