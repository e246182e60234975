import type { EpochMs } from '../units/time.js'

/**
 * Minutes since local midnight in an IANA time zone. The zone's offset is asked once for each quarter of an hour, the
 * finest at which zones differ and change.
 */
export function localMinutes(timeZone: string): (at: EpochMs) => number {
  const format = new Intl.DateTimeFormat('en-GB', {
    timeZone,
    hour: '2-digit',
    minute: '2-digit',
    hourCycle: 'h23',
  })
  let quarter = NaN
  let minutesThen = 0
  return (at) => {
    const now = Math.floor(at / 900_000)
    if (now !== quarter) {
      quarter = now
      const [hour = '0', minute = '0'] = format.format(now * 900_000).split(':')
      minutesThen = Number(hour) * 60 + Number(minute)
    }
    return (minutesThen + (at - quarter * 900_000) / 60_000) % 1440
  }
}
