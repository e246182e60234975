import type { Line } from '../journal/line.js'
import type { Arrival, Reading } from '../readings/reading.js'
import type { Act } from '../journal/act.js'
import type { Milliseconds } from '../units/time.js'

/** How a call went, told by the channel. */
export type DeliveryOutcome = 'accepted' | 'delivered' | 'temporary' | 'permanent'

/** Everything that can happen to the watch. */
export type WatchEvent =
  | { readonly kind: 'arrival'; readonly arrival: Arrival }
  | { readonly kind: 'act'; readonly act: Act }
  | {
      readonly kind: 'delivery'
      readonly attempt: number
      readonly outcome: DeliveryOutcome
      readonly detail: string
    }
  /** Something of our own broke (`broken: true`) or works again. `of`: broker, store, clock, influxdb, a channel … */
  | { readonly kind: 'own-trouble'; readonly of: string; readonly broken: boolean; readonly why: string }
  /** The machine's wall clock was set: every due time moves with it. */
  | { readonly kind: 'clock-step'; readonly by: Milliseconds }

/** What the watch wants done after a turn: a line for the record (and the calls in it), or a reading to be stored. */
export type Effect = Line | { readonly event: 'reading'; readonly reading: Reading }
