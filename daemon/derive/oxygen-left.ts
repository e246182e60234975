import { oxygenSaturationConcentration } from '../chemistry/oxygen-saturation.js'
import { signalPlanFor } from '../farm/on-demand.js'
import type { FarmPlan, Fish, Place } from '../farm/plan.js'
import { signalName } from '../readings/signal.js'
import { expectedDemand } from '../reserve/expected-demand.js'
import {
  demandNow,
  emptyReserve,
  followReserve,
  leftIfAirStops,
  leftOnTrend,
  noteSupply,
  type Left,
  type OxygenReserve,
  type TankNow,
} from '../reserve/oxygen-reserve.js'
import { celsius, gramsPerKilogram, atmospheres, milligramsPerLitre } from '../units/brands.js'
import { hours, minutes, seconds } from '../units/time.js'
import { kilopascalsPerAtmosphere, pressure, salinity, waterTemperature } from './common-inputs.js'
import { measured, measuredOrEntered, whereMeasured, type Told } from './derivation.js'
import type { Answers, Estimation, Estimator, Seen } from './estimation.js'

const balance = 'mass balance'

/** How much oxygen a stocked tank takes, and how long it lasts. */
export const oxygenLeft: Estimation = {
  name: 'oxygen_left',
  livesOn: 'oxygen',
  gives: [
    {
      quantity: 'oxygen_demand',
      equation: 'OX-10',
      source: `${balance}: slope of draw-downs, deficit held by the air, respiration by species (OX-1, OX-2)`,
    },
    { quantity: 'oxygen_minutes_if_air_stops', equation: 'OX-10', source: balance },
    { quantity: 'oxygen_minutes_on_trend', equation: 'OX-10', source: `${balance}; slope by Kalman filter` },
  ],
  places: ['tank'],
  inputs: Object.entries({
    oxygen: measuredOrEntered('dissolved_oxygen', milligramsPerLitre, {
      maxAge: minutes(15),
      uncertainAfter: minutes(5),
    }),
    temperature: waterTemperature,
    salinity,
    pressure,
    flow: whereMeasured({ ...measured('flow', (value) => value, hours(1)), place: 'farm' }),
  }),
  at: (plan, place) =>
    place.fish === null || place.volume === null ? null : estimatorAt(plan, place, place.fish, place.volume),
}

function estimatorAt(plan: FarmPlan, place: Place, fish: Fish, volume: number): Estimator {
  const tank = { volume, depth: place.surfaceArea === null ? usualDepth : volume / place.surfaceArea }
  const sharing = watersOfPump(plan, place)
  const listening = signalPlanFor(plan, signalName(place.id, 'dissolved_oxygen'))
  const written = 'unknown' in listening ? null : listening.responseTime
  const lag = (written ?? usualLag) / hours(1)
  const now = ({ at, supply, values }: Seen): TankNow | null => {
    const temperature = celsius(values.temperature ?? NaN)
    const saturation = oxygenSaturationConcentration({
      temperature,
      salinity: gramsPerKilogram(values.salinity ?? NaN),
      pressure: atmospheres((values.pressure ?? NaN) / kilopascalsPerAtmosphere),
    })
    const demand = expectedDemand({ ...fish, species: fish.species.like, volume }, temperature)
    if (saturation === null || demand === null) return null
    return {
      ...{ at, temperature, saturation, expectedDemand: demand, depth: tank.depth, lag },
      supply: { air: supply.air, water: supply.water === 'none' ? 'unknown' : supply.water },
      turnover: values.flow == null || sharing === null ? null : turnover(values.flow, sharing),
    }
  }
  return {
    begin: (at, kept) => ({ ...emptyReserve(at), ...(isLearnt(kept) ? { learnt: kept } : {}) }),
    keep: (memory) => (memory as OxygenReserve).learnt,
    step: (memory, seen) => {
      const before = memory as OxygenReserve
      const there = now(seen)
      if (there === null)
        return { memory, learnt: false, answers: everywhere('outside 0-40 degC or 0-40 g/kg') }
      const oxygen = seen.values.oxygen ?? null
      const after =
        seen.heard && oxygen !== null ? followReserve(before, there, oxygen) : noteSupply(before, there)
      return { memory: after, learnt: after.learnt !== before.learnt, answers: answersOf(after, there, fish) }
    },
  }
}

/** m, where no surface is given (common practice). */
const usualDepth = 1
/** Membranes and optical spots show 63 % within some 20 to 60 s (common practice). */
const usualLag = seconds(35)

const isLearnt = (kept: unknown): kept is OxygenReserve['learnt'] =>
  typeof kept === 'object' && kept !== null && 'factor' in kept && 'seen' in kept

/** Litres of all tanks that the pumps of this one serve: they are taken to get water by their volume. */
function watersOfPump(plan: FarmPlan, place: Place): number | null {
  const pumps = [...plan.equipment.values()].filter(
    ({ kind, serves }) => kind === 'pump' && serves.includes(place.id),
  )
  const served = [...plan.places.values()].filter(
    ({ id, kind }) => kind === 'tank' && pumps.some(({ serves }) => serves.includes(id)),
  )
  if (served.length === 0 || served.some(({ volume }) => volume === null)) return null
  return served.reduce((sum, { volume }) => sum + 1000 * (volume ?? 0), 0)
}

/** L/min through so many litres, in changes an hour. */
const turnover = (flow: number, litres: number): number => (60 * Math.max(0, flow)) / litres

const everywhere = (says: string): Answers =>
  Object.fromEntries(oxygenLeft.gives.map(({ quantity }) => [quantity, says]))

const fourFifths = 1.2816

function answersOf(reserve: OxygenReserve, tank: TankNow, fish: Fish): Answers {
  const demand = demandNow(reserve, tank)
  const learnt = reserve.learnt.seen.drawDowns > 0
  const doubt = learnt ? null : 'by species, mass and feed: no draw-down was seen yet'
  return {
    oxygen_demand: {
      value: demand.value,
      low: demand.value * Math.exp(-fourFifths * demand.logDeviation),
      high: demand.value * Math.exp(fourFifths * demand.logDeviation),
      ...{ limit: null, says: doubt, doubtful: !learnt },
    },
    oxygen_minutes_if_air_stops: told(leftIfAirStops(reserve, tank, fish.criticalOxygen), fish, doubt),
    oxygen_minutes_on_trend: told(leftOnTrend(reserve, tank, fish.criticalOxygen), fish, null),
  }
}

function told(left: Left, { criticalOxygen }: Fish, doubt: string | null): Told | string {
  if ('unknown' in left) return left.unknown
  const { minutes: value, low, high, settlesAt } = left
  const never =
    settlesAt === null
      ? `not falling towards ${criticalOxygen} mg/L`
      : `settles at ${settlesAt.toFixed(1)} mg/L, above ${criticalOxygen}`
  return {
    ...{ value, low, high, limit: criticalOxygen },
    says: value === null ? never : doubt,
    doubtful: doubt !== null,
  }
}
