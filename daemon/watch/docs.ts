import type { AlarmMemory } from '../alarms/memory.js'
import { delayDue } from '../alarms/life-cycle.js'
import type { AlarmId } from '../alarms/rule.js'
import { noFlood } from '../callout/flood.js'
import { runDue, type Run } from '../callout/ladder.js'
import type { Verdict } from '../equipment/verdict.js'
import { ownTroubleRule, badMeasurementRule, probeClockRule } from '../farm/on-demand.js'
import type { FarmPlan } from '../farm/plan.js'
import type { StateDoc } from '../ports/recorder.js'
import { unheard } from '../quality/signal-memory.js'
import type { Reading } from '../readings/reading.js'
import type { SignalName } from '../readings/signal.js'
import { after, type EpochMs } from '../units/time.js'
import { confirmWithin } from './acts.js'
import { staleDueOf } from './arrivals.js'
import { appointMorning } from './digests.js'
import { appoint, noDues } from './dues.js'
import { appointFor } from './remembering.js'
import { addRule, wire } from './wiring.js'
import type { Attempt, Calling, House, Trouble, World } from './world.js'

/** A watch that has never watched. */
export function newWorld(plan: FarmPlan, now: EpochMs): World {
  const world: World = {
    plan,
    wiring: wire(plan),
    now,
    signals: new Map(),
    alarms: new Map(),
    callings: new Map(),
    runs: new Map(),
    attempts: new Map(),
    verdicts: new Map(),
    estimates: new Map(),
    troubles: new Map(),
    house: {
      nextNumber: 1,
      nextAttempt: 1,
      flood: noFlood,
      firstOut: {},
      tests: {},
      returned: [],
      quietSince: now,
    },
    dues: noDues(),
    effects: [],
    changed: new Set(),
    tellValues: null,
    touched: new Set(),
  }
  for (const signal of plan.signals.values()) {
    if (signal.origin === 'computed') continue
    world.signals.set(signal.signal, unheard(now))
    appointFor(world, 'stale', signal.signal, staleDueOf(world, signal.signal))
  }
  appointMorning(world)
  return world
}

/** What this turn changed, for the commit; the note of it is cleared. */
export function takeChanges(world: World): { upserts: StateDoc[]; deletes: { kind: string; id: string }[] } {
  const upserts: StateDoc[] = []
  const deletes: { kind: string; id: string }[] = []
  for (const name of world.changed) {
    const cut = name.indexOf(' ')
    const kind = name.slice(0, cut)
    const id = name.slice(cut + 1)
    const doc = docOf(world, kind, id)
    if (doc === undefined) deletes.push({ kind, id })
    else upserts.push({ kind, id, doc })
  }
  world.changed.clear()
  return { upserts, deletes }
}

function docOf(world: World, kind: string, id: string): unknown {
  switch (kind) {
    case 'alarm':
      return world.alarms.get(id as AlarmId)
    case 'calling':
      return world.callings.get(id as AlarmId)
    case 'run':
      return world.runs.get(id as AlarmId)
    case 'attempt':
      return world.attempts.get(Number(id))
    case 'verdict':
      return world.verdicts.get(id)
    case 'trouble':
      return world.troubles.get(id)
    case 'estimate':
      return world.wiring.graph.estimates.get(id)?.estimator.keep(world.estimates.get(id))
    default:
      return world.house
  }
}

/** Everything at once, as it would stand on disk. */
export function allDocs(world: World): StateDoc[] {
  for (const id of world.alarms.keys()) world.changed.add(`alarm ${id}`)
  for (const id of world.callings.keys()) world.changed.add(`calling ${id}`)
  for (const id of world.runs.keys()) world.changed.add(`run ${id}`)
  for (const id of world.attempts.keys()) world.changed.add(`attempt ${id}`)
  for (const of of world.verdicts.keys()) world.changed.add(`verdict ${of}`)
  for (const of of world.troubles.keys()) world.changed.add(`trouble ${of}`)
  for (const key of world.estimates.keys()) world.changed.add(`estimate ${key}`)
  world.changed.add('house house')
  return takeChanges(world).upserts
}

/** Puts memories back into a new world. What belongs to alarms that the plan no longer has is left out. */
export function recall(world: World, docs: readonly StateDoc[], newest: readonly Reading[]): void {
  for (const { kind, doc } of docs) {
    if (kind !== 'house') continue
    const house = doc as House
    // What an older version did not keep begins empty.
    world.house = { ...world.house, ...house, flood: { ...noFlood, ...house.flood } }
  }
  for (const reading of newest) remember(world, reading)
  for (const { kind, id, doc } of docs) {
    if (kind === 'trouble') world.troubles.set(id, doc as Trouble)
    else if (kind === 'verdict') world.verdicts.set(id, doc as Verdict)
    else if (kind === 'estimate') recallEstimate(world, id, doc)
    else if (kind === 'attempt') world.attempts.set(Number(id), doc as Attempt)
    else if (kind === 'alarm' || kind === 'calling' || kind === 'run') {
      if (!hasRule(world, id as AlarmId)) continue
      if (kind === 'alarm') world.alarms.set(id as AlarmId, doc as AlarmMemory)
      else if (kind === 'calling') world.callings.set(id as AlarmId, doc as Calling)
      else world.runs.set(id as AlarmId, doc as Run)
    }
  }
  appointAll(world)
}

/** What was learnt of a place is remembered for as long as the plan has the place. */
function recallEstimate(world: World, key: string, kept: unknown): void {
  const node = world.wiring.graph.estimates.get(key)
  if (node !== undefined) world.estimates.set(key, node.estimator.begin(world.now, kept))
}

/** The last stored reading: for order and duplicates, and as last known value; its silence counts from now. */
function remember(world: World, reading: Reading): void {
  const memory = world.signals.get(reading.signal) ?? unheard(world.now)
  const { value, quality } = reading
  world.signals.set(reading.signal, {
    ...memory,
    heard: true,
    newestAt: reading.at,
    newestOwn: reading.at,
    newestQuality: quality,
    newestReasons: reading.reasons,
    usable: value === null || quality === 'bad' ? null : { at: reading.at, value, quality },
  })
  const rule = badMeasurementRule(world.plan, reading.signal)
  if (rule !== null && reading.source === 'probe') addRule(world.wiring, rule)
}

/** Rules made on demand are made again for what remembers them. */
function hasRule(world: World, id: AlarmId): boolean {
  if (world.wiring.rules.has(id)) return true
  const [kind, about = ''] = [id.slice(0, id.indexOf('@')), id.slice(id.indexOf('@') + 1)]
  const rule =
    kind === 'own-trouble'
      ? ownTroubleRule(world.plan, about)
      : kind === 'bad-measurement'
        ? badMeasurementRule(world.plan, about as SignalName)
        : kind === 'probe-clock'
          ? probeClockRule(world.plan, about as SignalName)
          : null
  if (rule !== null) addRule(world.wiring, rule)
  return rule !== null
}

/** Makes every appointment that the memories ask for. */
export function appointAll(world: World): void {
  for (const [id, memory] of world.alarms) {
    const rule = world.wiring.rules.get(id)
    if (rule !== undefined) appointFor(world, 'delay', id, delayDue(rule, memory))
    appointFor(world, 'shelf-end', id, memory.shelf?.until ?? null)
    appointFor(world, 'release', id, memory.suppression?.releaseAt ?? null)
    appointFor(world, 're-alarm', id, memory.reAlarmAt)
    appointFor(world, 'reminder', id, memory.outOfService?.until ?? null)
  }
  for (const [id, calling] of world.callings) {
    appointFor(world, 'follow-up', id, calling.followUpAt)
    appointFor(world, 'grace', id, calling.graceAt)
    appointFor(world, 'muted-step', id, calling.mutedStepAt)
    appointFor(world, 'chattering-over', id, calling.chatter.since === null ? null : world.now)
  }
  for (const [id, run] of world.runs) {
    const ladder = world.plan.ladders.get(run.ladder)
    if (ladder !== undefined) appointFor(world, 'run', id, runDue(ladder, run))
  }
  for (const [id, attempt] of world.attempts) appointFor(world, 'retry', String(id), attempt.retryAt)
  for (const [person, test] of Object.entries(world.house.tests))
    appointFor(world, 'test', person, after(test.sentAt, confirmWithin))
  for (const signal of world.signals.keys()) appointFor(world, 'stale', signal, staleDueOf(world, signal))
  if (world.house.flood.since !== null) appoint(world.dues, 'flood-over', 'house', { at: world.now, rank: 0 })
  appointFor(world, 'flood-digest', 'house', world.house.flood.digestAt)
}
