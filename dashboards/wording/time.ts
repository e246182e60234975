const second = 1000
const minute = 60 * second
const hour = 60 * minute
const day = 24 * hour

/** Clock time in the farm's own zone: `02:14`. */
export const clockTime = (at: number, timeZone: string): string =>
  new Intl.DateTimeFormat('en-GB', { timeZone, hour: '2-digit', minute: '2-digit' }).format(at)

/** Clock time with the day where it is another one than `now`'s: `yesterday 21:40`, `Sat 21:40`, `3 Jan 21:40`. */
export function momentText(at: number, now: number, timeZone: string): string {
  const clock = clockTime(at, timeZone)
  const dayOf = (moment: number) => new Intl.DateTimeFormat('en-CA', { timeZone }).format(moment)
  if (dayOf(at) === dayOf(now)) return clock
  if (dayOf(at) === dayOf(now - day)) return `yesterday ${clock}`
  const recent = now - at < 6 * day
  const form = recent ? ({ weekday: 'short' } as const) : ({ day: 'numeric', month: 'short' } as const)
  return `${new Intl.DateTimeFormat('en-GB', { timeZone, ...form }).format(at)} ${clock}`
}

/** A length of time in one unit, rounded down, so that nothing is made to look fresher or older by words: `4 min`. */
export function spanText(span: number): string {
  const length = Math.max(0, span)
  if (length < minute) return `${Math.floor(length / second)}\u00a0s`
  if (length < hour) return `${Math.floor(length / minute)}\u00a0min`
  if (length < 2 * day) return `${Math.floor(length / hour)}\u00a0h`
  return `${Math.floor(length / day)}\u00a0days`
}
