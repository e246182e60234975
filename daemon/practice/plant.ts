import { epochMs, type EpochMs } from '../units/time.js'
import { liveInTank, settledStock, type Stock } from './fish.js'
import { breatheAir, oxygenSaturation } from './gases.js'
import { airHouse, vapourFor } from './house.js'
import {
  basins,
  bedIds,
  biofilterFigures,
  meals,
  tankIds,
  tanks,
  waterIds,
  type Site,
  type TankId,
  type WaterId,
} from './larkfield.js'
import { emptyLedger, type LedgerDraft } from './ledger.js'
import { circulate } from './loop.js'
import { airShare, machinesRunning, turnMachines } from './machines.js'
import { decayInFilter, growInBed, nitrify } from './nitrogen.js'
import type { PlantInputs, PlantState, Surroundings } from './plant-state.js'
import { waterOf, type Water, type WaterDraft } from './water.js'
import { daylightOf, outdoorsAt, sineOfSun, turnSky } from './weather.js'

/**
 * The farm `seconds` later. Pure: the same state and inputs give the same farm to the last digit. Meant for steps of 1 to
 * 10 s; the fastest part, water over the tanks' rims, settles within about a minute.
 */
export function step(state: PlantState, inputs: PlantInputs, seconds: number): PlantState {
  const { at } = state
  const water = draftOf(state.water)
  const ledger: LedgerDraft = { ...state.ledger }
  const machines = turnMachines(state.machines, inputs.machines, at, seconds)
  const daylight = daylightOf(sineOfSun(at, inputs.site))
  const surroundings = { state, inputs, machines, water, ledger, seconds }

  const { toppingUp, trickle } = circulate(surroundings)
  aerate(surroundings, trickle)
  const { stock, filterFilm } = live(surroundings, daylight)
  const sky = turnSky(state.sky, inputs.noise.sky, seconds)
  const end = epochMs(at + seconds * 1000)
  const outdoors = outdoorsAt(end, inputs.site, sky, inputs.sky)
  const turn = airHouse(state.house, water, { outdoors, heaterRuns: machines.of.heater.runs }, seconds)

  ledger.heatFromHeater += ((turn.heating.air + turn.heating.water) * seconds) / 1000
  ledger.heatFromSun += turn.sun
  ledger.heatThroughCover += turn.envelope + turn.exchange
  ledger.heatIntoVapour += turn.latent
  ledger.waterVentilated += turn.ventilated
  ledger.waterCondensed += turn.condensed
  return {
    at: end,
    water,
    stock,
    filterFilm,
    house: turn.house,
    heating: turn.heating,
    sky,
    outdoors,
    machines,
    toppingUp,
    ledger,
  }
}

const draftOf = (water: Readonly<Record<WaterId, Water>>): Record<WaterId, WaterDraft> => ({
  'tank-1': { ...water['tank-1'] },
  'tank-2': { ...water['tank-2'] },
  'tank-3': { ...water['tank-3'] },
  sump: { ...water.sump },
  biofilter: { ...water.biofilter },
  'bed-1': { ...water['bed-1'] },
  'bed-2': { ...water['bed-2'] },
})

function aerate({ state, inputs, machines, water, ledger, seconds }: Surroundings, trickle: number): void {
  const share = {
    'blower-a': airShare(machines, inputs.machines, 'blower-a', state.at),
    'blower-b': airShare(machines, inputs.machines, 'blower-b', state.at),
  }
  for (const id of waterIds) {
    const blown = id in tanks ? tanks[id as TankId].airTransfer * share[tanks[id as TankId].blower] : 0
    const trickled = id === 'biofilter' ? biofilterFigures.trickleTransfer * trickle : 0
    const transfer = basins[id].surfaceTransfer + blown + trickled
    ledger.oxygenFromAir += breatheAir(water[id], transfer, inputs.site.altitude, seconds)
  }
}

function live(
  { state, inputs, water, ledger, seconds }: Surroundings,
  daylight: number,
): { stock: Record<TankId, Stock>; filterFilm: number } {
  const stock = { ...state.stock }
  const mealtime = meals.at.some(
    (meal) => inputs.minuteOfDay >= meal && inputs.minuteOfDay < meal + meals.minutes,
  )
  let washedOut = 0
  for (const id of tankIds) {
    const draft = { ...state.stock[id] }
    const regular = mealtime ? tanks[id].feedPerDay / meals.at.length / (meals.minutes * 60) : 0
    const feed = (regular + (inputs.extraFeed[id] * tanks[id].feedPerDay) / 86_400) * seconds
    const weather = { feed, daylight, mealtime, mood: 1 + 0.06 * inputs.noise.moods[id] }
    const turn = liveInTank(tanks[id], [draft, water[id]], weather, seconds)
    stock[id] = draft
    washedOut += turn.washedOut
    ledger.oxygenBreathed += turn.breathed
    ledger.oxygenRotted += turn.rotted
    ledger.nitrogenReleased += turn.nitrogen
    ledger.feedGiven += feed
  }
  const filter = decayInFilter(water.biofilter, state.filterFilm + washedOut, seconds)
  ledger.oxygenRotted += filter.taken
  ledger.oxygenNitrified += nitrify(water.biofilter, seconds)
  for (const id of bedIds) {
    const grown = growInBed(water[id], { area: basins[id].area, light: daylight }, seconds)
    ledger.nitrogenTakenUp += grown.takenUp
    ledger.oxygenBreathed += grown.breathed
  }
  return { stock, filterFilm: filter.left }
}

/** How a farm begins. */
export interface FirstMoment {
  readonly at: EpochMs
  readonly site: Site
  /** Hours since the last meal; the fish have that much of it still in them. */
  readonly hoursSinceMeal: number
}

/** A farm that has run well for weeks: everything grown in, fed as usual, warm. */
export function settledPlant({ at, site, hoursSinceMeal }: FirstMoment): PlantState {
  const sky = { cover: 0, anomaly: 0 }
  const outdoors = outdoorsAt(at, site, sky, { shift: 0, clearing: 0 })
  const warm = Math.max(outdoors.temperature + 2, 14.5)
  const basin = (id: WaterId): Water =>
    waterOf({
      ...{
        volume: basins[id].volume,
        temperature: 27,
        oxygen: usualShare(id) * oxygenSaturation(27, site.altitude),
      },
      ...{ ammonia: 0.6, nitrite: 0.25, nitrate: 45, alkalinity: 60, carbonDioxide: 6 },
    })
  const water = Object.fromEntries(waterIds.map((id) => [id, basin(id)])) as Record<WaterId, Water>
  return {
    at,
    water,
    stock: {
      'tank-1': settledStock(tanks['tank-1'], hoursSinceMeal),
      'tank-2': settledStock(tanks['tank-2'], hoursSinceMeal),
      'tank-3': settledStock(tanks['tank-3'], hoursSinceMeal),
    },
    filterFilm: 100,
    house: { temperature: warm, vapour: vapourFor(0.75, warm), heating: false, vent: 0 },
    heating: { air: 0, water: 0 },
    sky,
    outdoors,
    machines: machinesRunning(at),
    toppingUp: false,
    ledger: emptyLedger,
  }
}

/** Share of saturation at which basins usually stand (found by letting the farm run). */
const usualShare = (id: WaterId): number => (id in tanks ? 0.85 : 0.65)
