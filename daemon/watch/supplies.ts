import type { Supply } from '../derive/estimation.js'
import type { EquipmentKind, FarmPlan } from '../farm/plan.js'
import type { SignalName } from '../readings/signal.js'
import type { World } from './world.js'

/** Modes in which a machine gives nothing, whatever it draws. */
const givesNothing: ReadonlySet<string> = new Set(['stopped', 'off', 'line_open', 'dry', 'blocked', 'lost'])

/** What brings a place air and water. */
export interface Servers {
  readonly air: readonly Machine[]
  readonly water: readonly Machine[]
}

/** A machine, and the supplies that feed it. */
interface Machine {
  readonly id: string
  readonly fedBy: readonly string[]
  readonly evidence: readonly SignalName[]
}

/** What serves each place that something serves; from the plan alone. */
export function compileServers({ places, equipment }: FarmPlan): ReadonlyMap<string, Servers> {
  const all = [...equipment.values()]
  const serving = (place: string, kind: EquipmentKind): readonly Machine[] =>
    all
      .filter((one) => one.kind === kind && one.serves.includes(place))
      .map(({ id, evidence }) => ({
        ...{ id, evidence: Object.values(evidence) },
        fedBy: all.filter((one) => supplies.has(one.kind) && one.serves.includes(id)).map((one) => one.id),
      }))
  return new Map(
    [...places.keys()].map((id) => [id, { air: serving(id, 'blower'), water: serving(id, 'pump') }]),
  )
}

/** Whether air is blown into a place, and water runs through it, by the verdicts on what serves it. */
export function supplyOf(world: World, place: string): Supply {
  const servers = world.wiring.servers.get(place)
  return { air: stateOf(world, servers?.air ?? []), water: stateOf(world, servers?.water ?? []) }
}

/** One that runs is enough; lost only when each is known to give nothing. */
function stateOf(world: World, machines: readonly Machine[]): Supply['air'] {
  if (machines.length === 0) return 'none'
  const states = machines.map((one) => runs(world, one))
  if (states.includes(true)) return 'running'
  return states.includes(null) ? 'unknown' : 'lost'
}

/** Without power it stands, whatever its probe said last. What hangs on a battery as well goes on while that lasts. */
function runs(world: World, { id, fedBy, evidence }: Machine): boolean | null {
  const mode = world.verdicts.get(id)?.mode
  if (mode !== undefined && givesNothing.has(mode)) return false
  if (fedBy.length > 0 && fedBy.every((supply) => world.verdicts.get(supply)?.mode === 'lost')) return false
  // Nothing was ever said against it: it runs if there is something that would show it.
  const shown = evidence.some((signal) => world.signals.get(signal)?.stale === false && heard(world, signal))
  return shown || mode !== undefined ? true : null
}

const heard = (world: World, signal: SignalName): boolean => world.signals.get(signal)?.usable != null

const supplies: ReadonlySet<EquipmentKind> = new Set(['mains_supply', 'battery_supply', 'generator'])

/** Places whose air or water a piece of equipment brings, directly or by feeding what does. */
export function placesFedBy(world: World, id: string): ReadonlySet<string> {
  const machine = world.plan.equipment.get(id)
  const fed = (machine?.serves ?? []).flatMap((one) => [
    one,
    ...(world.plan.equipment.get(one)?.serves ?? []),
  ])
  return new Set(fed.filter((one) => world.plan.places.has(one)))
}
