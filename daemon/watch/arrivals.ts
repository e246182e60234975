import { findingOf, type Finding } from '../alarms/finding.js'
import { isActive } from '../alarms/memory.js'
import { alarmId, type AlarmId, type AlarmRule } from '../alarms/rule.js'
import { badMeasurementRule, probeClockRule, signalPlanFor } from '../farm/on-demand.js'
import type { SignalPlan } from '../farm/plan.js'
import { judgeArrival, staleDue } from '../quality/judge.js'
import type { Arrival, Reading } from '../readings/reading.js'
import type { SignalName } from '../readings/signal.js'
import type { EpochMs } from '../units/time.js'
import { changeAlarm } from './alarm-changes.js'
import { computeFrom } from './computing.js'
import { evidenceFor } from './evidence.js'
import { reconsiderSignalHolds } from './holds.js'
import { appointFor, alarmOf, ruleOf, signalOf } from './remembering.js'
import { detectFrom, setVerdict } from './verdicts.js'
import { addRule } from './wiring.js'
import type { World } from './world.js'

/** One arrival through judge, compute, detect and alarm. What is for no known signal is none of ours and ignored. */
export function arrive(world: World, arrival: Arrival): void {
  const plan = signalPlanFor(world.plan, arrival.signal)
  if ('unknown' in plan) return
  const before = signalOf(world, arrival.signal)
  const { memory, reading, usable } = judgeArrival(plan, before, arrival, world.now)
  world.signals.set(arrival.signal, memory)
  if (reading === null) return
  world.effects.push({ event: 'reading', reading })
  if (!before.heard) firstHeard(world, plan)
  if (memory.clock.fault !== before.clock.fault) clockVerdict(world, arrival.signal, memory.clock.fault)
  // Judged at the moment it counts for, which a slow or entered reading's own time is not.
  const at = memory.usable?.at ?? reading.at
  if (usable) evaluate(world, plan, { ...reading, at }, before.stale)
}

/** A computed value that is there or gone goes the same way as a reading. */
export function evaluate(world: World, plan: SignalPlan, reading: Reading, wasStale: boolean): void {
  const { signal } = reading
  appointFor(world, 'stale', signal, staleDue(plan, signalOf(world, signal)))
  if (wasStale) usableAgain(world, signal)
  sampleAll(world, signal, reading)
  reconsiderSignalHolds(world, signal)
  detectFrom(world, signal)
  computeFrom(world, signal, reading.at)
}

/**
 * One reading for all alarms of its signal. What begins goes from the severe level to the lesser, so that of both only
 * the severe one occurs (AL-22, AL-41); what ends goes the other way, so that a lesser level that is over as well does
 * not come back first.
 */
function sampleAll(world: World, signal: SignalName, reading: Reading): void {
  const found = (world.wiring.bySignal.get(signal) ?? []).map((id) => {
    const rule = ruleOf(world, id)
    return { rule, finding: rule === undefined ? null : findingFor(world, rule) }
  })
  for (let at = found.length - 1; at >= 0; at -= 1) {
    const one = found[at]
    if (one?.rule !== undefined && one.finding !== 'violating') take(world, one.rule, one.finding, reading)
  }
  for (const { rule, finding } of found)
    if (rule !== undefined && finding === 'violating') take(world, rule, finding, reading)
}

function findingFor(world: World, { condition }: AlarmRule): Finding | null {
  if (condition.kind === 'unusable' || condition.kind === 'verdict' || condition.kind === 'own-trouble')
    return null
  const evidence = evidenceFor(world, condition)
  return evidence === null ? null : findingOf(condition, evidence)
}

type Sample = Pick<Reading, 'at' | 'quality'>

function take(world: World, rule: AlarmRule, finding: Finding | null, reading: Sample): void {
  if (finding === null || reading.quality === 'bad') return
  // Nothing to do for the usual case, a good value of an alarm at rest: the cheapest exit of the hot path.
  if (finding !== 'violating' && alarmOf(world, rule.id).condition.kind === 'clear') return
  changeAlarm(world, rule.id, { kind: 'sample', finding, quality: reading.quality, at: reading.at })
}

/**
 * A computed value is judged by its alarms; when it cannot be told their pending delays end, as with a stale probe; when
 * nothing is foreseen there is nothing to fear.
 */
export function judgeComputed(world: World, signal: SignalName, reading: Reading): void {
  if (reading.value !== null) {
    sampleAll(world, signal, reading)
    return
  }
  for (const id of world.wiring.bySignal.get(signal) ?? []) {
    const rule = ruleOf(world, id)
    if (reading.quality === 'bad') changeAlarm(world, id, { kind: 'stale' })
    else if (rule !== undefined) take(world, rule, 'clear', reading)
  }
}

/** Judges all alarms of a signal anew by its last usable value: after a change of limits (AL-28). */
export function judgeAgain(world: World, id: AlarmId): void {
  const rule = ruleOf(world, id)
  if (rule === undefined || !('signal' in rule.condition)) return
  const usable = world.signals.get(rule.condition.signal)?.usable
  if (usable == null) return
  const at = isActive(alarmOf(world, id)) ? usable.at : world.now
  take(world, rule, findingFor(world, rule), { at, quality: usable.quality })
}

/** A signal of a pattern has its bad-measurement alarm from the first word on. */
function firstHeard(world: World, plan: SignalPlan): void {
  appointFor(world, 'stale', plan.signal, staleDue(plan, signalOf(world, plan.signal)))
  if (world.wiring.rules.has(alarmId('bad-measurement', plan.signal))) return
  const rule = badMeasurementRule(world.plan, plan.signal)
  if (rule !== null) addRule(world.wiring, rule)
}

/** Nothing usable for the stale time (AL-16, AL-36): delays are cancelled, the signal's own alarm speaks. */
export function wentStale(world: World, signal: SignalName): void {
  const memory = signalOf(world, signal)
  if (memory.stale) return
  world.signals.set(signal, { ...memory, stale: true })
  for (const id of world.wiring.bySignal.get(signal) ?? []) {
    const rule = ruleOf(world, id)
    if (rule === undefined) continue
    if (rule.condition.kind === 'unusable') {
      const at = memory.usable?.at ?? memory.watchedSince
      changeAlarm(world, id, { kind: 'sample', finding: 'violating', quality: 'good', at })
    } else changeAlarm(world, id, { kind: 'stale' })
  }
  setVerdict(world, {
    of: signal,
    mode: 'silent',
    confidence: 0.9,
    since: memory.usable?.at ?? memory.watchedSince,
    evidence: [memory.heard ? 'nothing usable has come since' : 'never heard'],
  })
  nodeMayBeLost(world, signal)
  computeFrom(world, signal, world.now)
}

function usableAgain(world: World, signal: SignalName): void {
  const id = alarmId('bad-measurement', signal)
  changeAlarm(world, id, { kind: 'sample', finding: 'clear', quality: 'good', at: world.now })
  setVerdict(world, {
    of: signal,
    mode: 'normal',
    confidence: 0.9,
    since: world.now,
    evidence: ['readings come again'],
  })
  const node = world.plan.signals.get(signal)?.via
  if (node != null)
    setVerdict(world, {
      of: node,
      mode: 'normal',
      confidence: 0.9,
      since: world.now,
      evidence: [`${signal} came through it`],
    })
}

/** All signals that come through one node are silent: one fault, not many (contract 11). */
function nodeMayBeLost(world: World, signal: SignalName): void {
  const node = world.plan.signals.get(signal)?.via
  if (node == null) return
  const members = world.wiring.byNode.get(node) ?? []
  if (!members.every((member) => signalOf(world, member).stale)) return
  setVerdict(world, {
    of: node,
    mode: 'lost',
    confidence: 0.9,
    since: world.now,
    evidence: [`nothing from any of its ${members.length} probes`],
  })
}

function clockVerdict(world: World, signal: SignalName, fault: boolean): void {
  const rule = probeClockRule(world.plan, signal)
  if (rule !== null) addRule(world.wiring, rule)
  setVerdict(world, {
    of: signal,
    mode: fault ? 'clock' : 'normal',
    confidence: 0.9,
    since: world.now,
    evidence: [fault ? "the probe's clock is not ours" : 'its times agree with ours again'],
  })
}

export const staleDueOf = (world: World, key: string): EpochMs | null => {
  const signal = key as SignalName
  const plan = signalPlanFor(world.plan, signal)
  const memory = world.signals.get(signal)
  return memory === undefined || memory.stale || 'unknown' in plan ? null : staleDue(plan, memory)
}
