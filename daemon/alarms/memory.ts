import type { EpochMs } from '../units/time.js'

/** The code words of alarm-standards 1.4 (ANSI/ISA-18.2 state model). */
export const stateWords = [
  'NORM',
  'UNACK',
  'ACKED',
  'RTNUN',
  'LATUN',
  'LATAK',
  'SHLVD',
  'DSUPR',
  'OOSRV',
] as const
export type StateWord = (typeof stateWords)[number]

/** Where the condition itself stands, whatever people have done about it. */
export type ConditionMemory =
  | { readonly kind: 'clear' }
  /** Violating, on-delay running. `confirmed` is false after a restart, until a usable reading decides (AL-27). */
  | { readonly kind: 'pending'; readonly since: EpochMs; readonly confirmed: boolean }
  /** `clearing`: since when the return criterion is met without interruption (off-delay running). */
  | { readonly kind: 'active'; readonly since: EpochMs; readonly clearing: EpochMs | null }

export interface Acknowledgement {
  readonly by: string
  readonly at: EpochMs
}

/** One activation, with its own count and the farm-wide number that texts carry (AL-6). */
export interface Occurrence {
  readonly index: number
  readonly number: number
  /** When the condition began. */
  readonly since: EpochMs
  readonly activatedAt: EpochMs
  readonly acknowledged: Acknowledgement | null
}

export interface Shelf {
  readonly by: string
  readonly why: string
  readonly until: EpochMs
  readonly oneShot: boolean
  /** The condition was active at some time under this shelf: a one-shot shelf then ends with it. */
  readonly sawActive: boolean
}

export interface OutOfService {
  readonly by: string
  readonly why: string
  readonly since: EpochMs
  readonly until: EpochMs | null
  readonly remindedAt: EpochMs | null
}

/** What suppresses an alarm by design. */
export interface Suppression {
  /** The alarm or signal that does it, for people. */
  readonly under: string
  /** Suppressed only as the lesser level of a more severe alarm (AL-22): comes back at once, not afresh. */
  readonly asLesser: boolean
  /** Set once the reason is gone: the release delay runs until then. */
  readonly releaseAt: EpochMs | null
}

/** Everything one alarm remembers. Plain data that survives JSON; waits are absolute due times. */
export interface AlarmMemory {
  readonly condition: ConditionMemory
  /** How many occurrences there have been. */
  readonly occurrences: number
  /** The number that the latest occurrence's texts carried; null before the first. */
  readonly lastNumber: number | null
  /** The latest occurrence, as long as it is not over. */
  readonly open: Occurrence | null
  readonly latched: boolean
  readonly shelf: Shelf | null
  readonly outOfService: OutOfService | null
  readonly suppression: Suppression | null
  readonly reAlarmAt: EpochMs | null
  /** The last acknowledged occurrence: to say who was first (AL-51). */
  readonly lastAcknowledged: (Acknowledgement & { readonly index: number }) | null
}

export const atRest: AlarmMemory = {
  condition: { kind: 'clear' },
  occurrences: 0,
  lastNumber: null,
  open: null,
  latched: false,
  shelf: null,
  outOfService: null,
  suppression: null,
  reAlarmAt: null,
  lastAcknowledged: null,
}

export const isHeld = (memory: AlarmMemory): boolean =>
  memory.shelf !== null || memory.outOfService !== null || memory.suppression !== null

export const isActive = (memory: AlarmMemory): boolean => memory.condition.kind === 'active'

/** Active and allowed to say so: only such an alarm suppresses or explains others (AL-37). */
export const speaks = (memory: AlarmMemory): boolean => isActive(memory) && !isHeld(memory)

/** The state that people see. Several holds together are shown in the order of AL-15. */
export function stateWordOf(memory: AlarmMemory): StateWord {
  if (memory.outOfService !== null) return 'OOSRV'
  if (memory.suppression !== null) return 'DSUPR'
  if (memory.shelf !== null) return 'SHLVD'
  if (memory.open === null) return 'NORM'
  const acknowledged = memory.open.acknowledged !== null
  if (isActive(memory)) return acknowledged ? 'ACKED' : 'UNACK'
  if (memory.latched) return acknowledged ? 'LATAK' : 'LATUN'
  return acknowledged ? 'NORM' : 'RTNUN'
}
