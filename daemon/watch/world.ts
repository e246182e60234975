import type { AlarmMemory } from '../alarms/memory.js'
import type { AlarmId } from '../alarms/rule.js'
import type { ChatterMemory } from '../callout/chattering.js'
import type { FloodMemory } from '../callout/flood.js'
import type { Run } from '../callout/ladder.js'
import type { Verdict } from '../equipment/verdict.js'
import type { FarmPlan } from '../farm/plan.js'
import type { MessageKind } from '../journal/line.js'
import type { SignalMemory } from '../quality/signal-memory.js'
import type { SignalName } from '../readings/signal.js'
import type { EpochMs } from '../units/time.js'
import type { Dues } from './dues.js'
import type { Effect } from './event.js'
import type { Wiring } from './wiring.js'

/**
 * All that the watch knows. One mutable value, changed only by `advance` and what it calls: copying the maps of ten
 * thousand signals for every reading would cost more than the judging. What stands in the maps is immutable plain
 * data, so a turn's changes are the keys in `changed`, and a memory that went to disk and back is the same memory.
 */
export interface World {
  plan: FarmPlan
  wiring: Wiring
  now: EpochMs
  readonly signals: Map<SignalName, SignalMemory>
  readonly alarms: Map<AlarmId, AlarmMemory>
  /** The call-out's side of each alarm. */
  readonly callings: Map<AlarmId, Calling>
  readonly runs: Map<AlarmId, Run>
  readonly attempts: Map<number, Attempt>
  readonly verdicts: Map<string, Verdict>
  /** What estimations remember, by `name@place`; see derive/estimation.ts. */
  readonly estimates: Map<string, unknown>
  readonly troubles: Map<string, Trouble>
  house: House
  readonly dues: Dues
  /** Effects of the turn so far. */
  effects: Effect[]
  /** `kind id` of every memory that this turn changed. */
  readonly changed: Set<string>
  /** Scripts ask to be told computed values; null when nobody does. */
  tellValues: ((signal: SignalName) => boolean) | null
  /** Alarms whose state changed in this instant: first-out is decided at its end. */
  readonly touched: Set<AlarmId>
}

/** What the call-out remembers of one alarm. */
export interface Calling {
  /** Who got an activation message since the alarm was last normal (AL-8). */
  readonly called: readonly string[]
  readonly followUpAt: EpochMs | null
  /** Since when the follow-up waits for consequences that are still active; null when it does not. */
  readonly returnedAt: EpochMs | null
  /** Told inside this alarm's messages instead of by its own ladder (AL-36, AL-37). */
  readonly toldBy: AlarmId | null
  /** Its cause is over and it still lasts: by then it speaks for itself. */
  readonly graceAt: EpochMs | null
  readonly chatter: ChatterMemory
  /** A muted step 1 of a critical alarm that lasts (AL-39). */
  readonly mutedStepAt: EpochMs | null
  /** Told in a digest only: its return belongs into the next digest (AL-38). */
  readonly inDigest: boolean
}

/** A message on its way to one person. */
export interface Attempt {
  readonly id: number
  readonly about: Purpose
  readonly to: string
  readonly channel: string
  readonly rest: readonly string[]
  /** 1 for the first try over this channel. */
  readonly tried: number
  /** Waiting for its next try; null while it is being sent. */
  readonly retryAt: EpochMs | null
  readonly sentAt: EpochMs
}

/** Why a message is sent; enough to write it anew for another try. */
export type Purpose =
  | {
      readonly kind: 'activation'
      readonly alarm: AlarmId
      readonly occurrence: number
      readonly step: string
      readonly also: readonly AlarmId[]
      readonly shown: number
    }
  | {
      readonly kind: 'follow-up'
      readonly alarm: AlarmId
      readonly occurrence: number
      readonly also: readonly AlarmId[]
      readonly returnedAt: EpochMs
    }
  | {
      readonly kind: 'digest'
      readonly alarms: readonly AlarmId[]
      readonly closing: boolean
      readonly activations: number
    }
  | { readonly kind: 'chattering'; readonly alarm: AlarmId; readonly activations: number }
  | { readonly kind: 'test'; readonly number: number }
  | {
      readonly kind: 'interruption'
      readonly from: EpochMs
      readonly to: EpochMs
      readonly alarms: readonly AlarmId[]
    }
  | { readonly kind: 'reminder'; readonly alarm: AlarmId; readonly until: EpochMs; readonly by: string }

export const messageKindOf = (purpose: Purpose): MessageKind => {
  switch (purpose.kind) {
    case 'interruption':
    case 'reminder':
      return 'system'
    case 'activation':
    case 'follow-up':
    case 'digest':
    case 'chattering':
    case 'test':
      return purpose.kind
  }
}

export interface Trouble {
  readonly since: EpochMs
  readonly why: string
}

/** What belongs to the farm as a whole. */
export interface House {
  /** The next occurrence's number and the next call's id. */
  readonly nextNumber: number
  readonly nextAttempt: number
  readonly flood: FloodMemory
  /** Who is marked first-out, by group. */
  readonly firstOut: Readonly<Record<string, readonly AlarmId[]>>
  /** Tests that wait for a confirmation, by person (AL-29). */
  readonly tests: Readonly<Record<string, { readonly sentAt: EpochMs; readonly by: string }>>
  /** Alarms told in a digest that have returned since (AL-38). */
  readonly returned: readonly AlarmId[]
  readonly quietSince: EpochMs
}

export const noCalling: Omit<Calling, 'chatter'> = {
  called: [],
  followUpAt: null,
  returnedAt: null,
  toldBy: null,
  graceAt: null,
  mutedStepAt: null,
  inDigest: false,
}
