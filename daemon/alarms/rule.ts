import type { Milliseconds } from '../units/time.js'
import type { SignalName } from '../readings/signal.js'

declare const alarm: unique symbol
/** One alarm: `oxygen-low@tank-1`, always `<rule>@<what it is about>`. */
export type AlarmId = string & { readonly [alarm]: 'alarm' }
export const alarmId = (rule: string, about: string): AlarmId => `${rule}@${about}` as AlarmId

/** Least urgent first (IMO's and ISA's four levels; words are the trade's). */
export const priorities = ['low', 'medium', 'high', 'critical'] as const
export type Priority = (typeof priorities)[number]

export const atLeast = (priority: Priority, floor: Priority): boolean =>
  priorities.indexOf(priority) >= priorities.indexOf(floor)

/** What makes an alarm's condition true. Values and limits are in the signal's canonical unit; rates per minute. */
export type Condition =
  | {
      readonly kind: 'above' | 'below'
      readonly signal: SignalName
      readonly limit: number
      readonly deadband: number
    }
  | {
      readonly kind: 'rate'
      readonly signal: SignalName
      /** Which way counts: 'either' when the limit was written without a sign. */
      readonly way: 'rising' | 'falling' | 'either'
      /** Per minute, positive. */
      readonly limit: number
      readonly deadband: number
      /** Newest sample against the oldest within this span; null compares neighbouring samples. */
      readonly over: Milliseconds | null
    }
  | { readonly kind: 'is'; readonly signal: SignalName; readonly value: number | string }
  | {
      readonly kind: 'words'
      readonly signal: SignalName
      readonly all: readonly string[]
      readonly returnsOn: readonly string[]
    }
  | { readonly kind: 'discrepancy'; readonly commanded: SignalName; readonly running: SignalName }
  /** No usable reading for the stale time (AL-36). */
  | { readonly kind: 'unusable'; readonly signal: SignalName }
  /** A detector's verdict about equipment, a place, a node or a probe is in one of these modes. */
  | { readonly kind: 'verdict'; readonly of: string; readonly modes: readonly string[] | 'any' }
  /** Something of our own is broken; the shell and the call-out report it by this name. */
  | { readonly kind: 'own-trouble'; readonly of: string }

/** While this holds, the alarm is suppressed by design (AL-14). */
export type Suppressor =
  | { readonly kind: 'signal'; readonly signal: SignalName; readonly is: number | string }
  | { readonly kind: 'alarm'; readonly alarm: AlarmId }

export const severities = ['severe', 'serious', 'minor'] as const
export type Severity = (typeof severities)[number]

/** The rationalisation record of one alarm (ISA-18.2), everything resolved. */
export interface AlarmRule {
  readonly id: AlarmId
  /** The part before the @. */
  readonly rule: string
  /** The part after the @: a place, equipment, signal, node, or part of ourselves. */
  readonly about: string
  /** The place shown to people: `about` itself or the place it stands at. */
  readonly place: string
  readonly condition: Condition
  readonly onDelay: Milliseconds
  readonly offDelay: Milliseconds
  readonly priority: Priority
  /**
   * Verdicts only: the priority of single modes, where it differs from `priority` (a stopped blower is high, a weak one
   * low). `priority` is that of the worst mode, so that whoever does not look here errs on the loud side.
   */
  readonly priorityByMode?: Readonly<Record<string, Priority>>
  /** The priority while a verdict about something else holds as well: mains lost is critical once the battery is low. */
  readonly priorityWhile?: {
    readonly of: readonly string[]
    readonly modes: readonly string[]
    readonly priority: Priority
  }
  /** AL-23: how the priority was found. */
  readonly priorityFrom:
    | { readonly kind: 'consequence'; readonly severity: Severity; readonly respondWithin: Milliseconds }
    | { readonly kind: 'built-in' }
    | { readonly kind: 'by-hand' }
  /** Name of the ladder; null where the farm has none. */
  readonly ladder: string | null
  readonly latching: boolean
  readonly followUpDelay: Milliseconds
  readonly reAlarm: Milliseconds | null
  readonly lifeSupport: boolean
  /** The more severe level of the same quantity, under which this one is suppressed (AL-22). */
  readonly lesserOf: AlarmId | null
  readonly suppressedWhile: readonly Suppressor[]
  readonly releaseDelay: Milliseconds
  /**
   * Alarms that name what may cause this one, found from `serves` (AL-37): 'suppressed' under a supply that is gone,
   * 'told' inside the cause's messages.
   */
  readonly causes: readonly { readonly alarm: AlarmId; readonly effect: 'suppressed' | 'told' }[]
  readonly cause: string | null
  readonly consequence: string | null
  readonly response: string | null
  /** Where it came from: 'built-in' or 'farm' (configuration). */
  readonly origin: 'built-in' | 'farm'
}
