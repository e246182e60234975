import {
  basins,
  bedIds,
  depthOf,
  loop,
  overflowingIds,
  tankIds,
  waterIds,
  type WaterId,
} from './larkfield.js'
import { pumpFlow } from './machines.js'
import type { Surroundings } from './plant-state.js'
import { carry, nitrogenIn, phOf, waterOf, type Water, type WaterDraft } from './water.js'

/** m */
const rimLength = 0.24

/**
 * cm of water above the rim of a standpipe that lets `flow` (L/min) pass: q = 1.84 L h^1.5 (Francis formula, SI), the
 * rim 0.24 m long, a pipe of 75 mm.
 */
function headAt(flow: number): number {
  return 100 * (flow / 60_000 / (1.84 * rimLength)) ** (2 / 3)
}

/**
 * Height of the rim (cm) over which a basin overflows: its usual depth less what the usual flow stands above the rim.
 */
const rimDepths = new Map<WaterId, number>(
  overflowingIds.map((id) => [id, depthOf(id, basins[id].volume) - headAt(basins[id].flowShare * loop.flow)]),
)

/** m3 that run over the rim in `seconds`. */
function overflow(id: WaterId, volume: number, seconds: number): number {
  const head = (depthOf(id, volume) - (rimDepths.get(id) ?? Infinity)) / 100
  return head <= 0 ? 0 : 1.84 * rimLength * head ** 1.5 * seconds
}

/**
 * Water for `seconds`: the pump lifts from the sump into tanks and beds, tanks run over into the biofilter, biofilter
 * and beds into the sump; the float valve tops up; leaks run out. When the pump stops, tanks and beds drain to their
 * rims and the sump rises. `trickle` is the biofilter's share of its full flow.
 */
export function circulate(surroundings: Surroundings): { toppingUp: boolean; trickle: number } {
  const { state, inputs, machines, water, seconds } = surroundings
  const flow = pumpFlow(machines, inputs.machines, depthOf('sump', water.sump.volume), state.at)
  const lifted = (flow * seconds) / 60_000
  for (const id of overflowingIds) {
    carry(water.sump, water[id], lifted * basins[id].flowShare)
  }
  let trickled = 0
  for (const id of tankIds)
    trickled += carry(water[id], water.biofilter, overflow(id, water[id].volume, seconds))
  for (const id of bedIds) carry(water[id], water.sump, overflow(id, water[id].volume, seconds))
  carry(water.biofilter, water.sump, water.biofilter.volume - basins.biofilter.volume)
  const full = (loop.flow * seconds * 0.82) / 60_000
  dissolveShells(water.sump, seconds)
  leak(surroundings)
  return { toppingUp: topUp(surroundings), trickle: Math.min(1, trickled / full) }
}

/**
 * Crushed shell in a basket holds the pH: CaCO3 + CO2 + H2O gives two bicarbonates, the faster the lower the pH. The
 * pace (mol a day for one pH below 7.4) is set so that pH stands between 7 and 7.4, common practice for such farms.
 */
function dissolveShells(water: WaterDraft, seconds: number): void {
  const moles = (25 * Math.max(0, 7.4 - phOf(water)) * seconds) / 86_400
  water.alkalinity += 2 * moles
  water.carbon += moles
}

function topUp({ state, water, ledger, seconds }: Surroundings): boolean {
  const depth = depthOf('sump', water.sump.volume)
  const open = depth < (state.toppingUp ? loop.topUp.closesAbove : loop.topUp.opensBelow)
  if (!open) return false
  const fresh: WaterDraft = { ...waterOf({ ...topUpWater, volume: (loop.topUp.flow * seconds) / 60_000 }) }
  ledger.waterToppedUp += fresh.volume
  ledger.heatWithTopUp += fresh.heat
  ledger.oxygenWithTopUp += fresh.oxygen
  pour(fresh, water.sump)
  return true
}

const topUpWater = { ...loop.topUp, ammonia: 0, nitrite: 0, nitrate: 0 }

function pour(from: Water, into: WaterDraft): void {
  into.volume += from.volume
  into.heat += from.heat
  into.oxygen += from.oxygen
  into.ammonia += from.ammonia
  into.nitrite += from.nitrite
  into.nitrate += from.nitrate
  into.alkalinity += from.alkalinity
  into.carbon += from.carbon
}

function leak({ inputs, water, ledger, seconds }: Surroundings): void {
  for (const id of waterIds) {
    const rate = inputs.leaks[id]
    if (rate === undefined) continue
    const floor: WaterDraft = { ...waterOf({ ...topUpWater, volume: 0, temperature: 0 }) }
    carry(water[id], floor, (rate * seconds) / 60_000)
    ledger.waterLeaked += floor.volume
    ledger.heatLeaked += floor.heat
    ledger.oxygenLeaked += floor.oxygen
    ledger.nitrogenLeaked += nitrogenIn(floor)
  }
}
