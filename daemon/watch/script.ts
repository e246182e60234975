import type { FarmPlan } from '../farm/plan.js'
import type { Act } from '../journal/act.js'
import type { Arrival } from '../readings/reading.js'
import type { EpochMs, Milliseconds } from '../units/time.js'
import type { DeliveryOutcome } from './event.js'

/** One line of a script (contract 9), understood and in canonical units. */
export type ScriptLine = { readonly arrive: EpochMs } & (
  | { readonly kind: 'reading'; readonly arrival: Arrival }
  /** What a person enters: a reading and an answer. */
  | { readonly kind: 'log'; readonly arrival: Arrival; readonly by: string }
  | { readonly kind: 'act'; readonly act: Act }
  /** How the next attempt to this person over this channel will go, and when that is known. */
  | {
      readonly kind: 'deliver'
      readonly to: string
      readonly by: string
      readonly outcome: DeliveryOutcome
      readonly after: Milliseconds
    }
  | { readonly kind: 'restart'; readonly downFor: Milliseconds }
  | { readonly kind: 'configure'; readonly plan: FarmPlan; readonly by: string; readonly why: string }
  /** A person who answers every activation after so long. */
  | { readonly kind: 'keeper'; readonly who: string; readonly answersAfter: Milliseconds }
  | { readonly kind: 'report' }
  | { readonly kind: 'end' }
)

/** What to print beside states, messages and answers. */
export interface Telling {
  /** Computed signals to be told; null for none. */
  readonly derived: ((signal: string) => boolean) | null
  /** At fixed intervals instead of at each change. */
  readonly every: Milliseconds | null
}
