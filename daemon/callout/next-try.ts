import { after, seconds, type EpochMs } from '../units/time.js'

/** AL-26: a temporary error is tried again after 30 s, twice. */
export const retryWait = seconds(30)
export const triesPerChannel = 3

export type NextTry =
  | { readonly kind: 'again'; readonly at: EpochMs }
  | { readonly kind: 'next-channel'; readonly channel: string; readonly rest: readonly string[] }
  | { readonly kind: 'unreached' }

/**
 * What follows a failed attempt (AL-26, AL-43): the same channel again, counted from the report of the failure; else
 * the person's next channel at once; else this person cannot be reached.
 */
export function nextTry(
  tried: number,
  outcome: 'temporary' | 'permanent',
  rest: readonly string[],
  reportedAt: EpochMs,
): NextTry {
  if (outcome === 'temporary' && tried < triesPerChannel)
    return { kind: 'again', at: after(reportedAt, retryWait) }
  const [channel, ...others] = rest
  return channel === undefined ? { kind: 'unreached' } : { kind: 'next-channel', channel, rest: others }
}
