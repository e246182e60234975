import {
  followNitrogen,
  foretellNitrogen,
  noNitrogen,
  type LoopFigures,
  type NitrogenMemory,
} from '../chemistry/follow-nitrogen.js'
import { isBelief } from '../chemistry/nitrifier-pace.js'
import { lowestMeasuredPh } from '../chemistry/nitrifiers.js'
import {
  celsius,
  cubicMetres,
  gramsPerDay,
  milligramsPerLitre,
  milligramsPerLitreAsN,
  ph,
  squareMetres,
} from '../units/brands.js'
import { testKit } from './common-inputs.js'
import { measuredOrEntered, type DerivationInput } from './derivation.js'
import type { Estimation, Seen } from './estimation.js'
import { feedLoad, inLoop, loopVolume, mediaOfLoop, nitrifierInputs } from './loop-inputs.js'

const kit = (quantity: string) => inLoop(measuredOrEntered(quantity, milligramsPerLitreAsN, testKit))

/** What both forecasts need. */
const common = {
  ammonia: kit('total_ammonia_nitrogen'),
  ...nitrifierInputs,
  ...{ load: feedLoad, media: mediaOfLoop, volume: loopVolume },
}
const inputsOf: Readonly<Record<'ammonia' | 'nitrite', readonly (readonly [string, DerivationInput])[]>> = {
  ammonia: Object.entries(common),
  nitrite: Object.entries({ ...common, nitrite: kit('nitrite_nitrogen') }),
}

/**
 * Ammonia or nitrite of a loop in a day, from feed, media and what the water is like, if nothing changes. How fast the
 * bacteria of this filter are it learns from the means of days.
 */
export const tomorrow = (of: 'ammonia' | 'nitrite', quantity: string): Estimation => ({
  name: quantity,
  livesOn: of,
  gives: [
    {
      quantity,
      equation: 'NIT-14',
      source: 'mass balance; Rusten et al. 2006; the pace is learnt from the loop itself',
    },
  ],
  places: ['biofilter'],
  inputs: inputsOf[of],
  at: (_plan, { media }) =>
    media === null
      ? null
      : {
          begin: (_at, kept) => (isMemory(kept) ? kept : noNitrogen),
          keep: (memory) => memory,
          step: (memory, seen) => {
            const before = memory as NitrogenMemory
            const { figures, ...water } = knownOf(seen.values)
            const now = { at: seen.at, ...water }
            const after = seen.heard ? followNitrogen(before, now, figures) : before
            const told = foretellNitrogen(of, after, now, figures)
            const says = doubtOf(figures.water.ph, seen.supply)
            const doubtful = says !== null
            return {
              memory: after,
              learnt: after !== before,
              answers: {
                [quantity]: told === null ? outside : { ...told, limit: null, says, doubtful },
              },
            }
          },
        },
})

/** The loop is taken as mixed, and the bacteria as somebody measured them. */
function doubtOf(acidity: number, { water }: Seen['supply']): string | null {
  if (water === 'lost') return 'the water stands still: the filter gets none of this'
  return acidity < lowestMeasuredPh ? `nobody measured below pH ${lowestMeasuredPh}: carried on` : null
}

const outside = 'outside the range in which it can be computed (4-30 degC, pH 6-9)'

function knownOf(values: Seen['values']) {
  const number = (name: string): number => values[name] ?? Number.NaN
  const figures: LoopFigures = {
    volume: cubicMetres(number('volume')),
    media: squareMetres(number('media')),
    load: gramsPerDay(number('load')),
    water: {
      temperature: celsius(number('temperature')),
      oxygen: milligramsPerLitre(number('oxygen')),
      ph: ph(number('ph')),
    },
  }
  return {
    figures,
    ammonia: milligramsPerLitreAsN(number('ammonia')),
    // What the ammonia comes to does not depend on it.
    nitrite: milligramsPerLitreAsN(values['nitrite'] ?? 0),
  }
}

function isMemory(kept: unknown): kept is NitrogenMemory {
  if (!isRecord(kept)) return false
  const { ammonia, nitrite, recent, last } = kept
  const areSeen = Array.isArray(recent) && recent.every(isSeen) && (last === null || isSeen(last))
  return areSeen && isBelief(ammonia) && isBelief(nitrite)
}

const isSeen = (seen: unknown): boolean =>
  isRecord(seen) && ['at', 'ammonia', 'nitrite'].every((key) => typeof seen[key] === 'number')

const isRecord = (value: unknown): value is Readonly<Record<string, unknown>> =>
  typeof value === 'object' && value !== null
