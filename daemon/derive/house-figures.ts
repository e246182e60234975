import { holdsWater } from '../farm/labels.js'
import type { FarmPlan, Place } from '../farm/plan.js'
import { coolingWater, type Basin, type CoolingWater, type HouseFigures } from '../heat/cold-figures.js'
import {
  cubicMetres,
  perHour,
  squareMetres,
  wattsPerKelvin,
  wattsPerSquareMetreKelvin,
  type CubicMetres,
} from '../units/brands.js'
import { given, type GivenInput, type StandIn } from './derivation.js'

/** Envelope of the house that the place is, or stands in: the first house whose envelope is written. */
function envelopeOf(plan: FarmPlan, place: Place): Place['envelope'] {
  if (place.kind === 'air') return place.envelope
  return [...plan.places.values()].find(({ envelope }) => envelope !== null)?.envelope ?? null
}

/** What the place's water is joined with by `flows_to`, in either direction; of a house, all water of the farm. */
export function watersOf(plan: FarmPlan, place: Place): readonly Place[] {
  const known = waters.get(plan) ?? joinedWaters(plan)
  waters.set(plan, known)
  return holdsWater(place.kind) ? (known.loopOf.get(place.id) ?? []) : known.all
}

interface Waters {
  readonly all: readonly Place[]
  readonly loopOf: ReadonlyMap<string, readonly Place[]>
}

/** Sought once for a plan: every place of a large farm asks for it several times. */
const waters = new WeakMap<FarmPlan, Waters>()

function joinedWaters(plan: FarmPlan): Waters {
  const all = [...plan.places.values()].filter(({ kind }) => holdsWater(kind))
  const loopOf = new Map<string, Place[]>(all.map((water) => [water.id, [water]]))
  for (const { id, flowsTo } of all) {
    for (const to of flowsTo) {
      const [one, other] = [loopOf.get(id), loopOf.get(to)]
      if (one === undefined || other === undefined || one === other) continue
      // The smaller loop goes into the larger, so that none is moved often.
      const [larger, smaller] = one.length < other.length ? [other, one] : [one, other]
      larger.push(...smaller)
      for (const water of smaller) loopOf.set(water.id, larger)
    }
  }
  const order = new Map(all.map(({ id }, index) => [id, index]))
  for (const loop of new Set(loopOf.values()))
    loop.sort((a, b) => (order.get(a.id) ?? 0) - (order.get(b.id) ?? 0))
  return { all, loopOf }
}

export const basinOf = ({ volume, surfaceArea, kind }: Place): readonly Basin[] =>
  volume === null || volume <= 0
    ? []
    : [
        {
          volume: cubicMetres(volume),
          surface: surfaceArea === null || surfaceArea <= 0 ? null : squareMetres(surfaceArea),
          covered: kind === 'bed' || kind === 'biofilter',
        },
      ]

/** The water that cools with the place: of a tank its loop and itself, of a house all of the farm. Null where none is written. */
function coolingWaterOf(plan: FarmPlan, place: Place): CoolingWater | null {
  const loop = watersOf(plan, place).flatMap(basinOf)
  if (!holdsWater(place.kind)) return coolingWater(loop, null)
  const [own] = basinOf(place)
  return own === undefined ? null : coolingWater(loop, own)
}

/** Air changes of a house of which nothing was said. @source NRAES-33, ASABE EP406: 0.5 to 2 (from memory) */
const usualAirChanges = 1

const written = (value: number | null | undefined, says = 'as in the configuration'): StandIn | null =>
  value === null || value === undefined ? null : { value, says }

const airInside = (whenUnknown: StandIn | null): GivenInput<CubicMetres> =>
  given(['air inside', 'm3'], cubicMetres, (plan, place) => {
    const envelope = envelopeOf(plan, place)
    return envelope === null ? null : (written(envelope.volume) ?? whenUnknown)
  })

const cover = given(['roof and walls', 'm2'], squareMetres, (plan, place) =>
  written(envelopeOf(plan, place)?.area),
)
export const uValue = given(['U-value', 'W/(m2.K)'], wattsPerSquareMetreKelvin, (plan, place) =>
  written(envelopeOf(plan, place)?.uValue),
)
const airChanges = given(['air changes', '/h'], perHour, (plan, place) => {
  const envelope = envelopeOf(plan, place)
  if (envelope === null) return null
  return written(envelope.airChanges) ?? { value: usualAirChanges, says: 'usual of a house' }
})

/** What a house loses its warmth by. */
export const lossInputs = {
  ...{ cover, uValue, airChanges },
  volume: airInside({ value: 0, says: 'not written: leaks are left out' }),
}

const ofWater = (plan: FarmPlan, place: Place, name: keyof CoolingWater, says: string): StandIn | null =>
  written(coolingWaterOf(plan, place)?.[name], says)

/** What a house cools by: its loss, its air, and the water in it. */
export const coolingInputs = {
  ...{ cover, uValue, airChanges },
  volume: airInside(null),
  water: given(['water that cools', 'm3'], cubicMetres, (plan, place) =>
    ofWater(plan, place, 'volume', 'its loop, the pump running or not'),
  ),
  waterToAir: given(['warmth from water to air', 'W/K'], wattsPerKelvin, (plan, place) =>
    ofWater(plan, place, 'waterToAir', 'from the size of the basins'),
  ),
  openWater: given(['open water', 'm2'], squareMetres, (plan, place) =>
    ofWater(plan, place, 'openWater', 'from the size of the basins'),
  ),
}

/** The same figures without a derivation around them; null where the configuration lacks one. */
export function houseFiguresOf(
  plan: FarmPlan,
  place: Place,
): Omit<HouseFigures, 'humidity' | 'airPace'> | null {
  const value = <Value extends number>({ from, brand }: GivenInput<Value>): Value | null => {
    const found = from(plan, place)
    return found === null ? null : brand(found.value)
  }
  const house = {
    cover: value(cover),
    uValue: value(uValue),
    volume: value(coolingInputs.volume),
    airChanges: value(airChanges),
    water: value(coolingInputs.water),
    waterToAir: value(coolingInputs.waterToAir),
    openWater: value(coolingInputs.openWater),
  }
  return isWhole(house) ? house : null
}

type Nullable<Whole> = { readonly [Name in keyof Whole]: Whole[Name] | null }

const isWhole = <Whole>(figures: Nullable<Whole>): figures is Whole & Nullable<Whole> =>
  Object.values(figures).every((value) => value !== null)
