import type { AlarmId, AlarmRule } from '../alarms/rule.js'
import { placeOf, quantityOf, type SignalName } from '../readings/signal.js'
import type { Problem } from '../settings/problem.js'
import type { Settings } from '../settings/schema.js'
import { quantities as closedList, type Quantity } from '../units/quantities.js'
import { builtInAlarms } from './built-in-alarms.js'
import { causesOf } from './cause-tree.js'
import { finishAlarms } from './finish-alarms.js'
import { resolveGroups } from './groups.js'
import { farmId } from './labels.js'
import { badMeasurementOf, servedIn } from './on-demand.js'
import { onDemandTemplates } from './on-demand-rules.js'
import type { AlarmStage } from './patch-alarm.js'
import type { Farm, FarmPlan } from './plan.js'
import type { Remark, Report } from './report.js'
import { resolveAlarms } from './resolve-alarms.js'
import { bandOf, resolveEquipment } from './resolve-equipment.js'
import { houseRules, resolveLadders, resolvePeople, rosterOf } from './resolve-people.js'
import { resolveLiving } from './resolve-living.js'
import { resolvePlaces, speciesOf } from './resolve-places.js'
import { resolveSignals, type Signals } from './resolve-signals.js'

/** What became of a configuration's settings. `notes` are true of the farm and worth knowing, no mistakes. */
export type Planned =
  | { readonly kind: 'planned'; readonly plan: FarmPlan; readonly notes: readonly string[] }
  | { readonly kind: 'refused'; readonly problems: readonly Problem[] }

/**
 * The farm with everything resolved, or all that is wrong with it. Pure: the same settings always give the same plan,
 * so what `check` accepts, `run` and `rehearse` accept, and what it refuses they refuse (AL-49).
 */
export function planFarm(settings: Settings): Planned {
  const problems: Problem[] = []
  const notes: string[] = []
  const report: Report = (path, wrong, right) => void problems.push({ path, wrong, right })
  const remark: Remark = (text) => void (notes.includes(text) || notes.push(text))

  const quantities = quantitiesOf(settings, report)
  const places = resolvePlaces(settings.places, resolveLiving(settings, report), report, remark)
  const equipmentIds = settings.equipment.map(({ id }) => id)
  const equipment = resolveEquipment(settings.equipment, { places, equipmentIds, quantities, report })
  const stage: AlarmStage = { places, equipment, quantities, report, remark }
  const heard = resolveSignals(settings.probes, stage)
  const ladders = resolveLadders(settings.ladders)
  const ladder = defaultLadder(settings, remark)

  const base = {
    farm: farmOf(settings),
    places,
    equipment,
    signals: heard.signals,
    quantities,
    people: resolvePeople(settings.people),
    roster: rosterOf(settings),
    ladders,
    rules: houseRules(settings),
    switches: Object.keys(settings.channels).filter((name) => settings.channels[name]?.kind === 'mqtt'),
    onDemand: { patterns: heard.patterns, rules: onDemandTemplates(settings, ladder, stage) },
  }
  const builtIns = builtInAlarms({ places, equipment, speciesOf, nodes: nodesOf(heard, places) })
  const drafts = resolveAlarms(settings.alarms, builtIns, stage)
  const alarms = withCauses(base, finishAlarms(drafts, { ladder, ladders }, stage), heard)
  const groups = resolveGroups(settings.groups, alarms, report)
  if (problems.length > 0) return { kind: 'refused', problems }
  return { kind: 'planned', plan: { ...base, alarms, groups }, notes }
}

function quantitiesOf(settings: Settings, report: Report): ReadonlyMap<string, Quantity> {
  const known = new Map(closedList.map((quantity) => [quantity.name, quantity]))
  for (const [index, { name, unit, label, decimals, possible }] of settings.quantities.entries()) {
    const path = ['quantities', index]
    if (known.has(name)) {
      report([...path, 'name'], `${name} is a quantity already`, 'leave it out, or choose another name')
      continue
    }
    const band = possible === undefined ? null : bandOf(possible, unit, [...path, 'possible'], report)
    const shown = label ?? name.replaceAll('_', ' ')
    known.set(name, { name, unit, kind: 'number', label: shown, possible: band, decimals })
  }
  return known
}

const farmOf = ({ farm }: Settings): Farm => ({
  name: farm.name,
  id: farm.id ?? farmId(farm.name),
  timeZone: farm.time_zone,
  latitude: farm.latitude ?? null,
  longitude: farm.longitude ?? null,
  altitude: farm.altitude,
  showUnits: farm.show_units,
})

/**
 * The only ladder, or `system.ladder`. With several and none named, the first: calling somebody by a ladder that was
 * perhaps not meant is better than calling nobody.
 */
function defaultLadder(settings: Settings, remark: Remark): string | null {
  const names = Object.keys(settings.ladders)
  if (settings.system.ladder !== undefined) return settings.system.ladder
  const [first, ...others] = names
  if (first === undefined) {
    remark('there is no ladder: alarms are shown, and nobody is called')
    return null
  }
  if (others.length > 0) {
    remark(`alarms that name no ladder take the first, ${first}; say system: { ladder: … } to choose`)
  }
  return first
}

/** Radio nodes and gateways, and whether a stocked tank's oxygen comes through them. */
function nodesOf({ signals, patterns }: Signals, places: FarmPlan['places']): ReadonlyMap<string, boolean> {
  const nodes = new Map<string, boolean>()
  for (const { signal, via } of signals.values()) {
    if (via === null) continue
    const carriesOxygen =
      quantityOf(signal) === 'dissolved_oxygen' && (places.get(placeOf(signal))?.fish ?? null) !== null
    nodes.set(via, nodes.get(via) === true || carriesOxygen)
  }
  // A pattern may carry anything that it leaves open, a tank's oxygen too.
  for (const { listening, quantity } of patterns) {
    if (listening.via === null) continue
    nodes.set(
      listening.via,
      nodes.get(listening.via) === true || quantity === null || quantity === 'dissolved_oxygen',
    )
  }
  return nodes
}

/** The rules with what may cause them, and the bad-measurement alarm of every signal that a probe declares. */
function withCauses(
  base: Omit<FarmPlan, 'alarms' | 'groups'>,
  rules: ReadonlyMap<AlarmId, AlarmRule>,
  heard: Signals,
): ReadonlyMap<AlarmId, AlarmRule> {
  const alarms = new Map(rules)
  const plan = { ...base, alarms }
  for (const signal of heard.signals.values()) {
    const rule = signal.origin === 'probe' ? declaredBadMeasurement(plan, signal.signal, heard) : null
    if (rule !== null) alarms.set(rule.id, rule)
  }
  const served = servedIn(plan)
  for (const [id, rule] of alarms) alarms.set(id, { ...rule, causes: causesOf(rule, served) })
  return alarms
}

function declaredBadMeasurement(
  plan: Parameters<typeof badMeasurementOf>[0],
  signal: SignalName,
  heard: Signals,
): AlarmRule | null {
  const wish = heard.wishes.get(signal) ?? null
  return wish === null || heard.signals.get(signal)?.staleTime === null
    ? null
    : badMeasurementOf(plan, signal, wish)
}
