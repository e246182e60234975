import type { Milliseconds } from '../units/time.js'

/** How a person is reached; the name of a channel. `text`, `email`, `push` have a meaning of their own, others are webhooks. */
export type ChannelName = string

export interface Person {
  readonly id: string
  readonly name: string
  /** BCP 47; falls back to English where there are no words for it. */
  readonly language: string
  /** Address by channel: `{ text: '+44…', email: '…' }`. */
  readonly reach: Readonly<Record<ChannelName, string>>
}

/** Minutes since Monday 00:00 in the farm's own time zone. From a moment to itself covers the whole week. */
export interface RosterRule {
  readonly from: number
  readonly to: number
  readonly who: readonly string[]
}

export type StepTarget =
  | { readonly kind: 'on-duty' }
  | { readonly kind: 'everyone' }
  | { readonly kind: 'person'; readonly person: string }

export type LadderStep =
  | {
      readonly kind: 'call'
      readonly after: Milliseconds
      readonly target: StepTarget
      readonly by: readonly ChannelName[]
    }
  | { readonly kind: 'switch-on'; readonly after: Milliseconds; readonly channel: ChannelName }

export interface Ladder {
  readonly name: string
  readonly steps: readonly LadderStep[]
  readonly repeat: { readonly every: Milliseconds; readonly times: number }
  /** For alarms of this ladder that set none of their own. */
  readonly reAlarm: Milliseconds | null
}
