import type { Priority } from '../alarms/rule.js'
import type { Act } from '../journal/act.js'
import type { StateWord } from '../alarms/memory.js'
import type { AnswerLine, Line } from '../journal/line.js'
import type { Arrival, Quality, ReadingValue } from '../readings/reading.js'
import type { Computed } from '../readings/computed.js'
import type { SignalName } from '../readings/signal.js'
import type { EpochMs } from '../units/time.js'

/** The watch as those outside see it: what is so now, what changes, and the one door for what people do. */
export interface WatchDoor {
  snapshot(): Snapshot
  /** Tells every line (state, message, delivery, verdict …) after it was committed. Returns how to stop. */
  subscribe(tell: (line: Line) => void): () => void
  /** Resolves once the act and its consequences are committed. Refused acts resolve too, with `accepted: false`. */
  act(act: Act): Promise<AnswerLine>
  /** What a person enters (test kit, feed …): comes in like a reading. */
  enter(arrival: Arrival): Promise<AnswerLine>
  /** How a computed signal comes about now; null for what is not computed. */
  how(signal: SignalName): Computed | null
}

export interface SignalNow {
  readonly signal: string
  readonly place: string
  readonly quantity: string
  readonly label: string
  /** Canonical unit. */
  readonly unit: string
  readonly value: ReadingValue | null
  readonly quality: Quality
  readonly reasons: readonly string[]
  readonly at: EpochMs | null
  readonly stale: boolean
  /** In the canonical unit per minute; null when it cannot be told. */
  readonly perMinute: number | null
  readonly computed: boolean
  /** The truth lies between these four times out of five, where that is known. */
  readonly low: number | null
  readonly high: number | null
  /** The level that a forecast counts down to. */
  readonly limit: number | null
}

export interface AlarmNow {
  readonly id: string
  readonly rule: string
  readonly about: string
  readonly place: string
  readonly where: string
  readonly priority: Priority
  readonly lifeSupport: boolean
  readonly state: StateWord
  readonly active: boolean
  readonly occurrence: number
  readonly number: number | null
  readonly conditionSince: EpochMs | null
  readonly activatedAt: EpochMs | null
  readonly acknowledgedBy: string | null
  readonly acknowledgedAt: EpochMs | null
  /** Reason and end of a shelf or of being out of service; the alarm that suppresses it. */
  readonly held: { readonly by: string; readonly why: string; readonly until: EpochMs | null } | null
  /** In words: `oxygen 3.8 mg/L, limit 4.5`. */
  readonly says: string
  readonly cause: string | null
  readonly consequence: string | null
  readonly response: string | null
  /** The ladder that runs for it. */
  readonly calling: { readonly step: number; readonly nextAt: EpochMs | null } | null
}

export interface EquipmentNow {
  readonly id: string
  readonly kind: string
  readonly label: string
  readonly serves: readonly string[]
  readonly mode: string
  readonly confidence: number
  readonly since: EpochMs | null
  readonly evidence: readonly string[]
}

export interface Snapshot {
  readonly at: EpochMs
  readonly farm: {
    readonly name: string
    readonly id: string
    readonly timeZone: string
    readonly showUnits: 'metric' | 'us'
  }
  readonly places: readonly {
    readonly id: string
    readonly kind: string
    readonly label: string
    readonly fishCount: number | null
  }[]
  readonly signals: readonly SignalNow[]
  /** Every alarm that is not plainly normal, worst first. */
  readonly alarms: readonly AlarmNow[]
  readonly equipment: readonly EquipmentNow[]
  readonly onDuty: readonly { readonly id: string; readonly name: string }[]
  readonly counts: {
    readonly shelved: number
    readonly suppressed: number
    readonly outOfService: number
    readonly stale: number
    readonly watched: number
  }
  /** Since when no alarm has been active; null while one is. */
  readonly quietSince: EpochMs | null
}
