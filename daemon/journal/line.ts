import type { StateWord } from '../alarms/memory.js'
import type { Priority } from '../alarms/rule.js'
import type { Quality, ReadingValue } from '../readings/reading.js'
import type { MessageFacts } from '../callout/message-facts.js'
import type { EpochMs } from '../units/time.js'

export type MessageKind = 'activation' | 'follow-up' | 'digest' | 'chattering' | 'test' | 'system' | 'morning'

interface About {
  readonly priority: Priority
  readonly place: string
  readonly about: string
  readonly cause?: { readonly of: string; readonly mode: string }
}

export interface StateLine extends About {
  readonly at: EpochMs
  readonly event: 'state'
  readonly alarm: string
  readonly occurrence: number
  /** The farm-wide number that texts carry. */
  readonly number: number | null
  readonly from: StateWord
  readonly to: StateWord
  readonly condition_since?: EpochMs
  readonly by?: string
  readonly why?: string
  readonly superseded?: true
}

export interface MessageLine extends Partial<About> {
  readonly at: EpochMs
  readonly event: 'message'
  readonly kind: MessageKind
  readonly to: string
  readonly by: string
  readonly alarm?: string
  readonly occurrence?: number
  readonly number?: number
  readonly alarms?: readonly string[]
  readonly step?: number
  /** 1 for the first try of this message over this channel. */
  readonly attempt: number
  readonly chattering?: true
  readonly text: string
  /** Unique id of this attempt: the outbox entry. Not printed by scripts. */
  readonly id: number
  /** What the text was made of, for mail and pages. Not printed by scripts. */
  readonly facts: MessageFacts
}

export interface DeliveryLine {
  readonly at: EpochMs
  readonly event: 'delivery'
  readonly to: string
  readonly by: string
  readonly outcome: 'accepted' | 'delivered' | 'temporary' | 'permanent'
  readonly alarm?: string
  readonly occurrence?: number
  readonly id: number
  readonly detail: string
}

export interface AnswerLine {
  readonly at: EpochMs
  readonly event: 'answer'
  readonly to: string
  readonly accepted: boolean
  readonly text: string
  readonly do: string
  readonly alarm?: string
  readonly occurrence?: number
}

export interface VerdictLine {
  readonly at: EpochMs
  readonly event: 'verdict'
  readonly of: string
  readonly mode: string
  readonly confidence: number
  readonly since: EpochMs
  readonly evidence: readonly string[]
}

export interface FirstOutLine {
  readonly at: EpochMs
  readonly event: 'first-out'
  readonly group: string
  readonly alarms: readonly string[]
}

export interface FloodLine {
  readonly at: EpochMs
  readonly event: 'flood'
  readonly phase: 'begin' | 'end'
  readonly activations: number
}

export interface SwitchLine {
  readonly at: EpochMs
  readonly event: 'switch'
  readonly channel: string
  readonly on: boolean
  readonly alarm?: string
  readonly occurrence?: number
}

/** A computed value changed. */
export interface ValueLine {
  readonly at: EpochMs
  readonly event: 'value'
  readonly signal: string
  readonly value: ReadingValue | null
  readonly unit: string
  readonly quality: Quality
  readonly why?: string
  readonly low?: number
  readonly high?: number
  readonly limit?: number
}

/** Lines that scripts print and the journal keeps. */
export type Line =
  | StateLine
  | MessageLine
  | DeliveryLine
  | AnswerLine
  | VerdictLine
  | FirstOutLine
  | FloodLine
  | SwitchLine
  | ValueLine
