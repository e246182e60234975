import { Temporal } from 'temporal-polyfill'
import type { EpochMs } from '../units/time.js'
import type { RosterRule } from './people.js'

export const minutesPerWeek = 7 * 24 * 60

/**
 * Who is on duty at `now`, in the order of the rules, each person once. Rules are in the farm's own time; a time that
 * does not exist moves forward to the first that does, one that occurs twice means the first (AL-48): so at a moment
 * of the repeated hour the clock of its first passage has already switched, and stays switched.
 */
export function onDuty(rules: readonly RosterRule[], timeZone: string, now: EpochMs): readonly string[] {
  if (rules.length === 0) return []
  const minute = steadyMinuteOfWeek(timeZone, now)
  const people: string[] = []
  for (const rule of rules) {
    if (!covers(rule, minute)) continue
    for (const person of rule.who) if (!people.includes(person)) people.push(person)
  }
  return people
}

/** From a moment to itself covers the whole week (contract 10). Half-open: the hour of hand-over belongs to the next. */
function covers(rule: RosterRule, minute: number): boolean {
  if (rule.from === rule.to) return true
  return rule.from < rule.to
    ? minute >= rule.from && minute < rule.to
    : minute >= rule.from || minute < rule.to
}

/**
 * Minutes since Monday 00:00 on the farm's clock; in the second passage of a repeated hour it stands still at the end
 * of the first, so that nothing that has begun is undone.
 */
function steadyMinuteOfWeek(timeZone: string, now: EpochMs): number {
  const local = Temporal.Instant.fromEpochMilliseconds(now).toZonedDateTimeISO(timeZone)
  const minute = minuteOfWeek(local)
  const change = local.getTimeZoneTransition('previous')
  if (change === null) return minute
  const before = change.subtract({ nanoseconds: 1 })
  const repeated = (before.offsetNanoseconds - change.offsetNanoseconds) / 1e6
  const since = now - change.epochMilliseconds
  if (repeated <= 0 || since >= repeated) return minute
  return minuteOfWeek(before)
}

const minuteOfWeek = (local: Temporal.ZonedDateTime): number =>
  (local.dayOfWeek - 1) * 1440 + local.hour * 60 + local.minute

/** Minutes since midnight on the farm's clock. */
export function localMinuteOfDay(timeZone: string, now: EpochMs): number {
  const local = Temporal.Instant.fromEpochMilliseconds(now).toZonedDateTimeISO(timeZone)
  return local.hour * 60 + local.minute
}

/** The first moment after `now` at which the farm's clock shows this minute of the day (AL-48 where it does not exist). */
export function nextLocalMinute(timeZone: string, now: EpochMs, minuteOfDay: number): EpochMs {
  const local = Temporal.Instant.fromEpochMilliseconds(now).toZonedDateTimeISO(timeZone)
  for (const ahead of [0, 1, 2]) {
    const at = existing(local.toPlainDate().add({ days: ahead }), minuteOfDay, timeZone)
    if (at > now) return at
  }
  return existing(local.toPlainDate().add({ days: 3 }), minuteOfDay, timeZone)
}

function existing(date: Temporal.PlainDate, minuteOfDay: number, timeZone: string): EpochMs {
  const wanted = date.toPlainDateTime({ hour: Math.floor(minuteOfDay / 60), minute: minuteOfDay % 60 })
  const first = wanted.toZonedDateTime(timeZone, { disambiguation: 'earlier' })
  if (first.toPlainDateTime().equals(wanted)) return first.epochMilliseconds as EpochMs
  // The clock jumps over it: the first moment that exists is the change itself.
  return (first.getTimeZoneTransition('next') ?? first).epochMilliseconds as EpochMs
}
