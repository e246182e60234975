import type { Sent } from '../ports/channel.js'
import type { Milliseconds } from '../units/time.js'
import { errorText, outcome } from './detail.js'

/** Makes attempts, each within its time. */
export interface Attempts<Asked> {
  /** Never rejects. */
  attempt(asked: Asked): Promise<Sent>
  /** Breaks off what is under way, so that it is answered; later attempts are refused. May be called again. */
  close(): Promise<void>
}

export interface Limits {
  readonly within: Milliseconds
  /** Hidden in whatever an unexpected error says. */
  readonly secrets?: readonly string[]
  /** Lets go of what the attempts share, after the last is over. */
  readonly release?: () => void
}

/**
 * The frame that every channel works in: an attempt is answered in time though the other side hangs, an error becomes a
 * temporary outcome, and closing is clean. `work` gets a signal that aborts when time is up or the channel closes.
 */
export function limited<Asked>(
  work: (asked: Asked, signal: AbortSignal) => Promise<Sent>,
  { within, secrets = [], release = () => undefined }: Limits,
): Attempts<Asked> {
  const underWay = new Map<Promise<Sent>, () => void>()
  let closed: Promise<void> | null = null

  const attempt = (asked: Asked): Promise<Sent> => {
    if (closed !== null) return Promise.resolve(outcome('temporary', 'the channel is closed'))
    const { sent, breakOff } = inTime((signal) => work(asked, signal), within)
    const told = sent.catch((error: unknown) => outcome('temporary', errorText(error), secrets))
    underWay.set(told, breakOff)
    return told.finally(() => underWay.delete(told))
  }
  const close = async (): Promise<void> => {
    for (const breakOff of underWay.values()) breakOff()
    await Promise.all(underWay.keys())
    release()
  }
  return { attempt, close: () => (closed ??= close()) }
}

/** The work's own answer, or a temporary outcome when time is up or it is broken off before; `work` is then told by its signal. */
function inTime(
  work: (signal: AbortSignal) => Promise<Sent>,
  within: Milliseconds,
): { readonly sent: Promise<Sent>; breakOff(): void } {
  const stop = new AbortController()
  const limit = AbortSignal.timeout(within)
  let breakOff = (): void => undefined
  const tooLate = new Promise<Sent>((resolve) => {
    limit.addEventListener('abort', () =>
      resolve(outcome('temporary', `no answer within ${within / 1000} s`)),
    )
    breakOff = () => resolve(outcome('temporary', 'broken off: the channel is closing'))
  })
  const sent = Promise.race([work(stop.signal), tooLate]).finally(() => stop.abort())
  return { sent, breakOff }
}
