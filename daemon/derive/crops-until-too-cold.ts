import type { FarmPlan } from '../farm/plan.js'
import { followCooling, noCooling, paceOf, type CoolingPace } from '../heat/cooling-pace.js'
import { isDaylight } from '../heat/sun.js'
import {
  celsius,
  cubicMetres,
  percent,
  perHour,
  squareMetres,
  wattsPerKelvin,
  wattsPerSquareMetreKelvin,
} from '../units/brands.js'
import type { EpochMs } from '../units/time.js'
import { airTemperature, relativeHumidity, waterTemperature } from './common-inputs.js'
import { given, whereMeasured } from './derivation.js'
import type { Estimation, Seen } from './estimation.js'
import {
  coldEquation,
  coldInputs,
  figuresOf,
  tellUntilTooCold,
  untilTooCold,
  type ColdKnown,
} from './until-too-cold.js'

/** What the tenderest crop of the farm bears. */
const cropLimit = given(['lowest for the crop', 'Cel'], celsius, (plan) => {
  const [tenderest] = cropsOf(plan).toSorted((a, b) => b.airLow.value - a.airLow.value)
  if (tenderest === undefined) return null
  return { value: tenderest.airLow.value, says: `${tenderest.label}: ${tenderest.airLow.source}` }
})

const cropsOf = ({ places }: FarmPlan) =>
  [...places.values()].flatMap(({ plants }) => (plants === null ? [] : [plants.crop]))

/**
 * Hours until the air of the house is too cold for its crops, if all heat stops now. How fast its air cools it learns from
 * the falls between two turns of the heater.
 */
export const cropsUntilTooCold: Estimation = {
  name: 'house_cooling',
  livesOn: 'air',
  gives: [{ quantity: untilTooCold, ...coldEquation }],
  places: ['air'],
  inputs: Object.entries({
    air: airTemperature,
    tank: whereMeasured({ ...waterTemperature, place: 'farm' as const }),
    humidity: whereMeasured(relativeHumidity),
    ...{ limit: cropLimit, ...coldInputs },
  }),
  at: () => ({
    begin: (_at, kept) => ({ ...noCooling, ...(isLearnt(kept) ? { falls: kept } : {}) }),
    keep: (memory) => (memory as CoolingPace).falls,
    step: (memory, { at, values, heard }) => {
      const before = memory as CoolingPace
      const known = knownOf(values)
      const { tank } = known
      const after =
        heard && tank !== null && !isSunny(known, at)
          ? followCooling(before, { ...known, at, water: tank }, figuresOf(known, null))
          : before
      const told = tellUntilTooCold('air', known, at, paceOf(after))
      return {
        memory: after,
        learnt: after.falls !== before.falls,
        answers: { [untilTooCold]: told ?? 'outside the range in which it can be computed (-20 to 60 degC)' },
      }
    },
  }),
}

/** By day sun and open vents cool and warm: falls teach nothing then. */
const isSunny = ({ latitude, longitude }: ColdKnown, at: EpochMs): boolean =>
  latitude !== null && longitude !== null && isDaylight(at, { latitude, longitude }) === true

const isLearnt = (kept: unknown): kept is CoolingPace['falls'] =>
  Array.isArray(kept) &&
  kept.every((one: unknown) => typeof one === 'object' && one !== null && 'at' in one && 'pace' in one)

/** The inputs as the computation takes them; what it cannot do without is there. */
function knownOf(values: Seen['values']): ColdKnown {
  const number = (name: string): number => values[name] ?? Number.NaN
  const orNull = <Value>(name: string, brand: (value: number) => Value): Value | null => {
    const value = values[name] ?? null
    return value === null ? null : brand(value)
  }
  return {
    ...{ air: celsius(number('air')), tank: orNull('tank', celsius), humidity: orNull('humidity', percent) },
    ...{ limit: celsius(number('limit')), outside: celsius(number('outside')) },
    forecast: orNull('forecast', celsius),
    latitude: orNull('latitude', Number),
    longitude: orNull('longitude', Number),
    cover: squareMetres(number('cover')),
    uValue: wattsPerSquareMetreKelvin(number('uValue')),
    volume: cubicMetres(number('volume')),
    airChanges: perHour(number('airChanges')),
    water: cubicMetres(number('water')),
    waterToAir: wattsPerKelvin(number('waterToAir')),
    openWater: squareMetres(number('openWater')),
  }
}
