import { Fault } from '../errors.js'
import { parseRfc3339, type EpochMs } from '../units/time.js'

/** The time that was typed for an option. Throws BW_USAGE when it is none. */
export function timeOption(option: string, text: string): EpochMs {
  const at = parseRfc3339(text)
  if (at !== null) return at
  throw new Fault(
    'BW_USAGE',
    `${option} ${text} is no time`,
    'write RFC 3339 with a zone, for example 2027-01-13T08:00:00Z or 2027-01-13T09:00:00+01:00',
  )
}
