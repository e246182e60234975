import { createTally, type TopicTally } from '../decoding/tally.js'
import { ackTopic } from './own-topics.js'
import type { EarCounts, EarsOptions } from './options.js'

/** A message as the broker hands it over. */
export interface Heard {
  readonly topic: string
  readonly payload: Uint8Array
  readonly retained: boolean
}

export interface Hearing {
  /** Decodes a message and gives it to the watch. `done` is called when it may be acknowledged: never before the commit. */
  hear(message: Heard, done: () => void): void
  counts(): Pick<EarCounts, 'received' | 'taken' | 'unmapped' | 'rejected'>
  passedBy(): readonly TopicTally[]
}

/** What both kinds of broker do with a message: the same, so that a farm may change from one to the other. */
export function hearing(options: EarsOptions): Hearing {
  const { clock, intake, log } = options
  const tally = createTally()
  const buttonTopic = ackTopic(options.farm)
  let received = 0
  let taken = 0

  function passBy(kind: TopicTally['kind'], topic: string, reason: string): void {
    if (!tally.note({ kind, topic, reason }, clock.now(), clock.monotonic())) return
    if (kind === 'rejected') log.warn({ topic, reason }, 'a message cannot be understood')
    else log.debug({ topic, reason }, 'a message is for no probe')
  }

  return {
    hear({ topic, payload, retained }, done) {
      received += 1
      if (topic === buttonTopic) {
        // A retained press would acknowledge again with every reconnect.
        if (!retained) options.button?.(new TextDecoder().decode(payload.subarray(0, buttonBytesMax)))
        return done()
      }
      const decoded = options.decoder().decode(topic, payload, clock.now(), { retained })
      if (decoded.kind !== 'arrivals') {
        passBy(decoded.kind, decoded.topic, decoded.kind === 'rejected' ? decoded.reason : decoded.why)
        return done()
      }
      taken += 1
      intake.take({ topic, arrivals: decoded.arrivals, acknowledge: done })
    },
    counts: () => ({ received, taken, ...tally.counts() }),
    passedBy: () => tally.topics(),
  }
}

/** A button says which alarm, or nothing. */
const buttonBytesMax = 200
