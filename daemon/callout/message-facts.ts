import type { Priority } from '../alarms/rule.js'
import type { EpochMs } from '../units/time.js'

/** Which way a value goes. */
export type Trend = 'falling' | 'rising' | 'steady' | 'unknown'

/** One alarm as a text tells it. Values are in the quantity's canonical unit; the text converts and rounds them. */
export interface AlarmFacts {
  readonly alarm: string
  readonly rule: string
  readonly occurrence: number
  /** The farm-wide number by which people answer. */
  readonly number: number
  readonly priority: Priority
  /** The place or equipment as people call it: `tank 1`, `Blower A`. */
  readonly where: string
  /** What is wrong when there is a measured value. */
  readonly measured: {
    readonly quantity: string
    readonly value: number | string | null
    readonly unit: string
    readonly limit: number | string | null
    readonly beyond: 'above' | 'below' | 'other'
    readonly trend: Trend
  } | null
  /** What is wrong when there is none: `stopped`, `lost`, `no reading`, `broker away` … a word of contract 11's verdict modes or of ours. */
  readonly mode: string | null
  readonly since: EpochMs
  /** Oxygen minutes, when known: until `limit` (mg/L); of the tank that has the fewest, where the alarm is about a machine. */
  readonly minutesLeft: TimeLeft | null
  /** The likely cause in the farm's words, when a verdict names it: `Blower A stopped`. */
  readonly likely: { readonly of: string; readonly mode: string } | null
  readonly response: string | null
  readonly consequence: string | null
}

export interface TimeLeft {
  readonly minutes: number
  /** mg/L */
  readonly limit: number
  /** The tank as people call it; null where it is the place of the alarm itself. */
  readonly where: string | null
}

/** Everything that a message says, before it is put into words. */
export type MessageFacts =
  | {
      readonly kind: 'activation'
      readonly farm: string
      readonly alarm: AlarmFacts
      /** Consequences told inside their cause's message, worst first (AL-37); or signals lost together (AL-36). */
      readonly also: readonly AlarmFacts[]
      readonly chattering: boolean
      /** This step's place in the ladder, 1 the first; 0 for a repeat after the last step. */
      readonly step: number
      /** Names of people who were called before and did not answer. */
      readonly tried: readonly string[]
      /** An occurrence that was acknowledged and is still so (AL-11). */
      readonly again: boolean
    }
  | {
      readonly kind: 'follow-up'
      readonly farm: string
      readonly alarm: AlarmFacts
      readonly also: readonly AlarmFacts[]
      readonly returnedAt: EpochMs
    }
  | {
      readonly kind: 'digest'
      readonly farm: string
      readonly alarms: readonly AlarmFacts[]
      readonly closing: boolean
      readonly activations: number
    }
  | {
      readonly kind: 'chattering'
      readonly farm: string
      readonly alarm: AlarmFacts
      readonly activations: number
      readonly over: true
    }
  | { readonly kind: 'test'; readonly farm: string; readonly number: number }
  /** "Monitoring was interrupted from … to …" (AL-27), and reminders (AL-47). */
  | {
      readonly kind: 'interruption'
      readonly farm: string
      readonly from: EpochMs
      readonly to: EpochMs
      readonly alarms: readonly AlarmFacts[]
    }
  | {
      readonly kind: 'out-of-service-reminder'
      readonly farm: string
      readonly alarm: AlarmFacts
      readonly until: EpochMs
      readonly by: string
    }
  | { readonly kind: 'morning'; readonly farm: string; readonly alarms: readonly AlarmFacts[] }
