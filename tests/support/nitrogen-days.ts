import { followNitrogen, foretellNitrogen, noNitrogen } from '../../daemon/chemistry/follow-nitrogen.js'
import { createGreenhouse } from '../../daemon/practice/greenhouse.js'
import { larkfieldProbes, larkfieldTopics } from '../../daemon/practice/larkfield-probes.js'
import type { Mishap } from '../../daemon/practice/mishaps.js'
import * as unit from '../../daemon/units/brands.js'
import { after, days, epochMs, hours } from '../../daemon/units/time.js'

// Days of the practice greenhouse: ammonia and nitrite foretold for the next day, beside what then came of it. The
// greenhouse has meals, daylight, plants, seven basins and its own bacteria; the forecast has one basin and even feed.

/** One forecast and the truth a day later; mg/L as N. */
export interface NitrogenCase {
  readonly of: 'ammonia' | 'nitrite'
  /** Days since the first measurement. */
  readonly day: number
  readonly truth: number
  /** What was measured when it was foretold: the forecast "as today". */
  readonly now: number
  readonly value: number
  readonly low: number
  readonly high: number
}

/** What a keeper of Larkfield writes: feed 3.2 kg of 36 % protein, 400 L of media of 500 m2/m3, all volumes. */
const written = {
  volume: unit.cubicMetres(17.8),
  media: unit.squareMetres(200),
  load: unit.gramsPerDay(3.2 * 0.36 * 92),
}
const start = epochMs(Date.parse('2027-03-02T00:00:00Z'))
const every = hours(6)
const probes = larkfieldProbes(larkfieldTopics).filter(
  ({ signal }) => signal === 'tank-1/total_ammonia_nitrogen',
)

/** So many days from that seed on, with measurements every six hours that are off by some per cent. */
export function nitrogenDays(
  seed: number,
  long: number,
  mishaps: readonly Mishap[],
): readonly NitrogenCase[] {
  const options = { probes, stepSeconds: 10 }
  const greenhouse = createGreenhouse({ seed, start, mishaps, options })
  const truths: { ammonia: number; nitrite: number }[] = []
  const cases: (Omit<NitrogenCase, 'truth'> & { index: number })[] = []
  let memory = noNitrogen
  for (let index = 0; index * every <= days(long); index += 1) {
    const at = after(start, (index * every) as typeof every)
    greenhouse.advanceTo(at)
    const { state, water } = greenhouse.truth()
    const tank = state.water['tank-1']
    const truth = { ammonia: tank.ammonia / tank.volume, nitrite: tank.nitrite / tank.volume }
    truths.push(truth)
    const off = (of: 'ammonia' | 'nitrite', turn: number) =>
      unit.milligramsPerLitreAsN(truth[of] * (1 + 0.1 * Math.sin(seed + index * turn)))
    const seen = { at, ammonia: off('ammonia', 1.7), nitrite: off('nitrite', 2.3) }
    const { temperature, oxygen, ph } = water['tank-1']
    const figures = {
      ...written,
      water: {
        temperature: unit.celsius(temperature),
        oxygen: unit.milligramsPerLitre(oxygen),
        ph: unit.ph(ph),
      },
    }
    memory = followNitrogen(memory, seen, figures)
    for (const of of ['ammonia', 'nitrite'] as const) {
      const told = foretellNitrogen(of, memory, seen, figures)
      if (told !== null) cases.push({ of, index, day: index / 4, now: seen[of], ...told })
    }
  }
  return cases.flatMap(({ index, ...one }) => {
    const later = truths[index + 4]
    return later === undefined ? [] : [{ ...one, truth: later[one.of] }]
  })
}
