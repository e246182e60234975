import type { AlarmId, AlarmRule } from '../alarms/rule.js'
import { compileGraph, type Graph } from '../derive/compile-graph.js'
import { compileDetectors, type Detectors } from '../equipment/detect.js'
import type { FarmPlan } from '../farm/plan.js'
import type { SignalName } from '../readings/signal.js'
import { compileServers, type Servers } from './supplies.js'

/** What follows from the plan alone: who must be looked at when something changes. */
export interface Wiring {
  /** All rules; grows by those made on demand. */
  readonly rules: Map<AlarmId, AlarmRule>
  /** Rules that look at a signal, causes and severe levels first. */
  readonly bySignal: Map<SignalName, AlarmId[]>
  /** Rules that follow the verdict about a thing. */
  readonly byVerdict: Map<string, AlarmId[]>
  /** Rules that may be suppressed or explained by an alarm. */
  readonly dependents: Map<AlarmId, AlarmId[]>
  /** Rules suppressed by design while a signal has a value. */
  readonly bySuppressingSignal: Map<SignalName, AlarmId[]>
  /** Causes and severe levels have lower ranks than what depends on them. */
  readonly ranks: Map<AlarmId, number>
  readonly groupsOf: Map<AlarmId, string[]>
  /** Signals that come through one node. */
  readonly byNode: Map<string, SignalName[]>
  readonly graph: Graph
  readonly detectors: Detectors
  /** What brings each place air and water. */
  readonly servers: ReadonlyMap<string, Servers>
}

export function wire(plan: FarmPlan): Wiring {
  const wiring: Wiring = {
    rules: new Map(),
    bySignal: new Map(),
    byVerdict: new Map(),
    dependents: new Map(),
    bySuppressingSignal: new Map(),
    ranks: new Map(),
    groupsOf: new Map(),
    byNode: new Map(),
    graph: compileGraph(plan),
    detectors: compileDetectors(plan),
    servers: compileServers(plan),
  }
  for (const rule of plan.alarms.values()) addRule(wiring, rule)
  for (const rules of wiring.bySignal.values()) rules.sort((a, b) => rankOf(wiring, a) - rankOf(wiring, b))
  // Rules made on demand may still come between.
  wiring.ranks.clear()
  for (const group of plan.groups)
    for (const id of group.alarms) append(wiring.groupsOf, id as AlarmId, group.id)
  for (const signal of plan.signals.values())
    if (signal.via !== null) append(wiring.byNode, signal.via, signal.signal)
  return wiring
}

/** Takes a rule in, also one that is made on demand. A rule of the same id is replaced. */
export function addRule(wiring: Wiring, rule: AlarmRule): void {
  if (wiring.rules.has(rule.id)) {
    wiring.rules.set(rule.id, rule)
    return
  }
  wiring.rules.set(rule.id, rule)
  const { condition } = rule
  if (condition.kind === 'verdict') append(wiring.byVerdict, condition.of, rule.id)
  else if (condition.kind === 'discrepancy') {
    append(wiring.bySignal, condition.commanded, rule.id)
    append(wiring.bySignal, condition.running, rule.id)
  } else if (condition.kind !== 'own-trouble') append(wiring.bySignal, condition.signal, rule.id)
  for (const above of superiorsOf(rule)) append(wiring.dependents, above, rule.id)
  for (const suppressor of rule.suppressedWhile) {
    if (suppressor.kind === 'signal') append(wiring.bySuppressingSignal, suppressor.signal, rule.id)
  }
}

/** Alarms by which this one may be suppressed or explained. */
export function superiorsOf(rule: AlarmRule): readonly AlarmId[] {
  const above: AlarmId[] = rule.lesserOf === null ? [] : [rule.lesserOf]
  for (const suppressor of rule.suppressedWhile) if (suppressor.kind === 'alarm') above.push(suppressor.alarm)
  for (const cause of rule.causes) above.push(cause.alarm)
  return above
}

/** How many levels of causes and severe levels stand above an alarm; circles count once. */
export function rankOf(wiring: Wiring, id: AlarmId, seen: ReadonlySet<AlarmId> = new Set()): number {
  const known = wiring.ranks.get(id)
  if (known !== undefined) return known
  const rule = wiring.rules.get(id)
  if (rule === undefined || seen.has(id)) return 0
  const path = new Set(seen).add(id)
  const rank = superiorsOf(rule).reduce((most, above) => Math.max(most, 1 + rankOf(wiring, above, path)), 0)
  if (seen.size === 0) wiring.ranks.set(id, rank)
  return rank
}

function append<K, V>(map: Map<K, V[]>, key: K, value: V): void {
  const list = map.get(key)
  if (list === undefined) map.set(key, [value])
  else if (!list.includes(value)) list.push(value)
}
