import type { AlarmNow, EquipmentNow, Now, SignalNow } from '../../daemon/http/contract.js'
import { quantityNamed } from '../../daemon/units/quantities.js'

/** What the page says on top, before it is put into words. */
export type Verdict =
  | { readonly kind: 'well'; readonly since: number | null }
  /** No alarm, yet not "all well": something is not seen, not heard, or kept quiet. */
  | { readonly kind: 'quiet'; readonly since: number | null; readonly doubts: readonly Doubt[] }
  | { readonly kind: 'trouble'; readonly worst: readonly Trouble[]; readonly more: number }

export interface Doubt {
  readonly kind: 'stale' | 'shelved' | 'suppressed' | 'out-of-service' | 'equipment' | 'nothing-watched'
  readonly count: number
}

export interface Trouble {
  readonly alarm: AlarmNow
  /** The signal it judges, as it is now; null when it judges none. */
  readonly signal: SignalNow | null
  readonly trend: Trend
}

export type Trend = 'falling' | 'rising' | 'steady'

/** A sentence holds two; a third would push the first out of sight. */
const worstMax = 2

/** Alarms that speak: active, or waiting to be acknowledged, and not held back by anybody. */
export const speaking = (alarms: readonly AlarmNow[]): readonly AlarmNow[] =>
  alarms.filter(
    ({ state }) => state !== 'NORM' && state !== 'SHLVD' && state !== 'DSUPR' && state !== 'OOSRV',
  )

export const heldBack = (alarms: readonly AlarmNow[]): readonly AlarmNow[] =>
  alarms.filter(({ state }) => state === 'SHLVD' || state === 'DSUPR' || state === 'OOSRV')

/** Whether somebody must still say that they are on it. */
export const isUnanswered = ({ state }: AlarmNow): boolean =>
  state === 'UNACK' || state === 'RTNUN' || state === 'LATUN'

export const isAmiss = ({ mode }: EquipmentNow): boolean => mode !== 'normal' && mode !== 'unknown'

/** The page's one sentence. "All well" is claimed only when everything is seen, heard, running and allowed to speak. */
export function verdictOf(now: Now): Verdict {
  const troubles = speaking(now.alarms)
  if (troubles.length > 0) {
    return {
      kind: 'trouble',
      worst: troubles.slice(0, worstMax).map((alarm) => troubleOf(alarm, now.signals)),
      more: Math.max(0, troubles.length - worstMax),
    }
  }
  const doubts = doubtsOf(now)
  return doubts.length === 0
    ? { kind: 'well', since: now.quietSince }
    : { kind: 'quiet', since: now.quietSince, doubts }
}

function troubleOf(alarm: AlarmNow, signals: readonly SignalNow[]): Trouble {
  const signal = signals.find((candidate) => candidate.signal === alarm.signal) ?? null
  return { alarm, signal, trend: signal === null ? 'steady' : trendOf(signal) }
}

function doubtsOf({ counts, equipment }: Now): readonly Doubt[] {
  if (counts.watched === 0) return [{ kind: 'nothing-watched', count: 0 }]
  const all: readonly Doubt[] = [
    { kind: 'equipment', count: equipment.filter(isAmiss).length },
    { kind: 'stale', count: counts.stale },
    { kind: 'shelved', count: counts.shelved },
    { kind: 'suppressed', count: counts.suppressed },
    { kind: 'out-of-service', count: counts.outOfService },
  ]
  return all.filter(({ count }) => count > 0)
}

/** Falling or rising when ten minutes of it would change the last figure that is shown. */
export function trendOf({ perMinute, quantity, stale }: SignalNow): Trend {
  if (perMinute === null || stale) return 'steady'
  const visible = 10 ** -(quantityNamed(quantity)?.decimals ?? 1)
  if (Math.abs(perMinute) * 10 < visible) return 'steady'
  return perMinute < 0 ? 'falling' : 'rising'
}
