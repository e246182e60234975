import { findingOf } from '../alarms/finding.js'
import { isActive, speaks, type AlarmMemory } from '../alarms/memory.js'
import type { AlarmId, AlarmRule } from '../alarms/rule.js'
import type { SignalName } from '../readings/signal.js'
import { changeAlarm } from './alarm-changes.js'
import { evidenceFor } from './evidence.js'
import { alarmOf, ruleOf } from './remembering.js'
import type { World } from './world.js'

/** An alarm has begun or ceased to speak: what it suppresses by design follows (AL-14, AL-22, AL-37). */
export function reconsiderHolds(world: World, id: AlarmId): void {
  for (const dependent of world.wiring.dependents.get(id) ?? []) reconsiderHold(world, dependent)
}

/** A signal that suppresses alarms while it has a value has a new one. */
export function reconsiderSignalHolds(world: World, signal: SignalName): void {
  for (const dependent of world.wiring.bySuppressingSignal.get(signal) ?? []) reconsiderHold(world, dependent)
}

function reconsiderHold(world: World, id: AlarmId): void {
  const rule = ruleOf(world, id)
  if (rule === undefined) return
  const memory = alarmOf(world, id)
  const by = suppressorOf(world, rule)
  if (by === null) {
    if (memory.suppression === null || memory.suppression.releaseAt !== null) return
    // The lesser level comes back at once (AL-22); all others after their release delay (AL-14).
    if (memory.suppression.asLesser) release(world, rule, memory)
    else changeAlarm(world, id, { kind: 'unsuppress' })
    return
  }
  const same = memory.suppression?.under === by.under && memory.suppression.releaseAt === null
  if (!same) changeAlarm(world, id, { kind: 'suppress', ...by })
}

function suppressorOf(world: World, rule: AlarmRule): { under: string; asLesser: boolean } | null {
  for (const suppressor of rule.suppressedWhile) {
    if (suppressor.kind === 'alarm') {
      if (speaks(alarmOf(world, suppressor.alarm))) return { under: suppressor.alarm, asLesser: false }
    } else if (world.signals.get(suppressor.signal)?.usable?.value === suppressor.is) {
      return { under: suppressor.signal, asLesser: false }
    }
  }
  for (const cause of rule.causes) {
    if (cause.effect === 'suppressed' && speaks(alarmOf(world, cause.alarm)))
      return { under: cause.alarm, asLesser: false }
  }
  if (rule.lesserOf !== null && speaks(alarmOf(world, rule.lesserOf)))
    return { under: rule.lesserOf, asLesser: true }
  return null
}

/** The end of a suppression, at once or when its release delay is over. */
export function release(world: World, rule: AlarmRule, memory: AlarmMemory): void {
  const severe = rule.lesserOf === null ? null : alarmOf(world, rule.lesserOf)
  const last = severe?.lastAcknowledged ?? null
  const acknowledged =
    severe !== null && last !== null && last.index === severe.occurrences
      ? { by: last.by, at: last.at }
      : null
  changeAlarm(world, rule.id, {
    kind: 'release',
    violating: violatingNow(world, rule, memory),
    acknowledged: memory.suppression?.asLesser === true ? acknowledged : null,
  })
}

/** By the last usable value or verdict, strictly beyond the limit; what is stale says nothing. */
export function violatingNow(world: World, rule: AlarmRule, memory: AlarmMemory): boolean {
  const { condition } = rule
  switch (condition.kind) {
    case 'unusable':
      return world.signals.get(condition.signal)?.stale === true
    case 'verdict': {
      const mode = world.verdicts.get(condition.of)?.mode ?? 'normal'
      return mode !== 'normal' && (condition.modes === 'any' || condition.modes.includes(mode))
    }
    case 'own-trouble':
      return world.troubles.has(condition.of)
    case 'rate':
      return isActive(memory)
    case 'above':
    case 'below':
    case 'is':
    case 'words':
    case 'discrepancy': {
      const evidence = evidenceFor(world, condition)
      return evidence !== null && findingOf(condition, evidence) === 'violating'
    }
  }
}
