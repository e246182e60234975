import { isActive, stateWordOf } from '../alarms/memory.js'
import { priorities, type AlarmId, type AlarmRule } from '../alarms/rule.js'
import { runDue } from '../callout/ladder.js'
import { onDuty } from '../callout/roster.js'
import type { AlarmNow, EquipmentNow, SignalNow, Snapshot } from '../ports/door.js'
import type { Point, SignalMemory } from '../quality/signal-memory.js'
import { placeOf, quantityOf, type SignalName } from '../readings/signal.js'
import type { EpochMs } from '../units/time.js'
import { priorityOf } from './causes.js'
import { saysOf, whereOf } from './facts.js'
import type { World } from './world.js'

/** How things are now, for those who look from outside. */
export function snapshotOf(world: World, now: EpochMs): Snapshot {
  const { plan } = world
  const { name, id, timeZone, showUnits } = plan.farm
  const signals = [...world.signals].map(([signal, memory]) => signalNow(world, signal, memory))
  const alarms = [...world.alarms.keys()].map((alarm) => alarmNow(world, alarm)).filter((one) => one !== null)
  alarms.sort(worstFirst)
  const held = (state: AlarmNow['state']): number => alarms.filter((one) => one.state === state).length
  return {
    at: now,
    farm: { name, id, timeZone, showUnits },
    places: [...plan.places.values()].map((place) => ({
      id: place.id,
      kind: place.kind,
      label: place.label,
      fishCount: place.fish?.count ?? null,
    })),
    signals,
    alarms: alarms.filter((one) => one.state !== 'NORM'),
    equipment: [...plan.equipment.values()]
      .map((one) => equipmentNow(world, one.id))
      .filter((one) => one !== null),
    onDuty: onDuty(plan.roster, timeZone, now).map((person) => ({
      id: person,
      name: plan.people.get(person)?.name ?? person,
    })),
    counts: {
      shelved: held('SHLVD'),
      suppressed: held('DSUPR'),
      outOfService: held('OOSRV'),
      stale: signals.filter((one) => one.stale && !one.computed).length,
      watched: world.wiring.rules.size,
    },
    quietSince: alarms.some((one) => one.active) ? null : world.house.quietSince,
  }
}

function signalNow(world: World, signal: SignalName, memory: SignalMemory): SignalNow {
  const quantity = world.plan.quantities.get(quantityOf(signal))
  const { usable } = memory
  const computed = world.plan.signals.get(signal)?.origin === 'computed'
  return {
    signal,
    place: placeOf(signal),
    quantity: quantityOf(signal),
    label: quantity?.label ?? quantityOf(signal),
    unit: quantity?.unit ?? '',
    value: usable?.value ?? null,
    quality: memory.stale || (usable === null && !computed) ? 'bad' : (memory.newestQuality ?? 'bad'),
    reasons:
      memory.stale && memory.newestReasons.length === 0
        ? ['nothing usable has come for too long']
        : memory.newestReasons,
    at: usable?.at ?? memory.newestAt,
    stale: memory.stale,
    perMinute: slope(memory.recent),
    computed,
    ...(memory.bounds ?? { low: null, high: null, limit: null }),
  }
}

/** Least squares through the last points; null with fewer than three or no time between them. */
function slope(points: readonly Point[]): number | null {
  const last = points.slice(-8)
  if (last.length < 3) return null
  const meanAt = last.reduce((sum, one) => sum + one.at, 0) / last.length
  const mean = last.reduce((sum, one) => sum + one.value, 0) / last.length
  const spread = last.reduce((sum, one) => sum + (one.at - meanAt) ** 2, 0)
  if (spread === 0) return null
  return (last.reduce((sum, one) => sum + (one.at - meanAt) * (one.value - mean), 0) / spread) * 60_000
}

function alarmNow(world: World, id: AlarmId): AlarmNow | null {
  const rule = world.wiring.rules.get(id)
  const memory = world.alarms.get(id)
  if (rule === undefined || memory === undefined) return null
  const { open, shelf, outOfService, suppression } = memory
  const held =
    outOfService !== null
      ? { by: outOfService.by, why: outOfService.why, until: outOfService.until }
      : suppression !== null
        ? { by: suppression.under, why: 'suppressed by design', until: suppression.releaseAt }
        : shelf !== null
          ? { by: shelf.by, why: shelf.why, until: shelf.until }
          : null
  return {
    id,
    rule: rule.rule,
    about: rule.about,
    place: rule.place,
    where: whereOf(world, rule),
    priority: priorityOf(world, rule),
    lifeSupport: rule.lifeSupport,
    state: stateWordOf(memory),
    active: isActive(memory),
    occurrence: memory.occurrences,
    number: open?.number ?? null,
    conditionSince: open?.since ?? null,
    activatedAt: open?.activatedAt ?? null,
    acknowledgedBy: open?.acknowledged?.by ?? null,
    acknowledgedAt: open?.acknowledged?.at ?? null,
    held,
    says: saysOf(world, rule),
    cause: rule.cause,
    consequence: rule.consequence,
    response: rule.response,
    calling: callingNow(world, rule),
  }
}

function callingNow(world: World, rule: AlarmRule): AlarmNow['calling'] {
  const run = world.runs.get(rule.id)
  const ladder = run === undefined ? undefined : world.plan.ladders.get(run.ladder)
  return run === undefined || ladder === undefined ? null : { step: run.next, nextAt: runDue(ladder, run) }
}

const order: readonly AlarmNow['state'][] = [
  'UNACK',
  'LATUN',
  'ACKED',
  'LATAK',
  'RTNUN',
  'DSUPR',
  'SHLVD',
  'OOSRV',
  'NORM',
]

/** What needs a person first, then by priority, then the older. */
const worstFirst = (a: AlarmNow, b: AlarmNow): number =>
  order.indexOf(a.state) - order.indexOf(b.state) ||
  priorities.indexOf(b.priority) - priorities.indexOf(a.priority) ||
  (a.activatedAt ?? 0) - (b.activatedAt ?? 0)

function equipmentNow(world: World, id: string): EquipmentNow | null {
  const equipment = world.plan.equipment.get(id)
  if (equipment === undefined) return null
  const verdict = world.verdicts.get(id)
  return {
    id,
    kind: equipment.kind,
    label: equipment.label,
    serves: equipment.serves,
    mode: verdict?.mode ?? 'normal',
    confidence: verdict?.confidence ?? 0,
    since: verdict?.since ?? null,
    evidence: verdict?.evidence ?? [],
  }
}
