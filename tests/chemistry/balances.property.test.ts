import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { baseDose, baseNamed, bases } from '../../daemon/chemistry/alkalinity.js'
import { freeCarbonDioxide } from '../../daemon/chemistry/carbonate.js'
import {
  respirationOf,
  respirationToOptimum,
  tilapiaRespiration,
} from '../../daemon/chemistry/fish-respiration.js'
import { saltDose } from '../../daemon/chemistry/nitrite-chloride.js'
import { minutesWithoutAir, minutesWithReaeration } from '../../daemon/chemistry/oxygen-minutes.js'
import { feedForPlantArea, plantAreaForFeed } from '../../daemon/chemistry/plants.js'
import * as unit from '../../daemon/units/brands.js'

const within = (min: number, max: number) => fc.double({ min, max, noNaN: true })

describe('oxygen minutes', () => {
  const course = fc.record({
    oxygen: within(0.5, 12),
    critical: within(0.5, 6),
    respiration: within(0.5, 50),
    saturation: within(6, 12),
    coefficient: within(0.01, 3),
  })

  it('with air are never fewer than without, and end where the equation of motion ends', () => {
    fc.assert(
      fc.property(course, ({ oxygen, critical, respiration, saturation, coefficient }) => {
        const reserve = {
          oxygen: unit.milligramsPerLitre(oxygen),
          critical: unit.milligramsPerLitre(critical),
        }
        const used = unit.milligramsPerLitreHour(respiration)
        const air = {
          saturation: unit.milligramsPerLitre(saturation),
          coefficient: unit.perHour(coefficient),
        }
        const still = minutesWithoutAir(reserve, used)
        const aerated = minutesWithReaeration(reserve, used, air)
        if (oxygen <= critical) {
          expect([still?.kind, aerated?.kind]).toEqual(['now', 'now'])
          return
        }
        const settles = saturation - respiration / coefficient
        if (settles >= critical) {
          expect(aerated).toMatchObject({ kind: 'never', settlesAt: settles })
          return
        }
        if (aerated?.kind !== 'in' || still?.kind !== 'in') return expect.fail('it must be reached')
        // Oxygen above saturation escapes, so only then may air shorten the time.
        if (oxygen <= saturation)
          expect(aerated.minutes).toBeGreaterThanOrEqual(still.minutes * (1 - 1e-9) - 1e-9)
        const then = settles + (oxygen - settles) * Math.exp((-coefficient * aerated.minutes) / 60)
        expect(then).toBeCloseTo(critical, 6)
      }),
    )
  })

  it('are never when nothing breathes, and not told for negative figures', () => {
    const reserve = { oxygen: unit.milligramsPerLitre(6), critical: unit.milligramsPerLitre(2) }
    expect(minutesWithoutAir(reserve, unit.milligramsPerLitreHour(0))).toEqual({
      kind: 'never',
      settlesAt: 6,
    })
    expect(minutesWithoutAir(reserve, unit.milligramsPerLitreHour(-1))).toBeNull()
  })
})

describe('respiration of fish', () => {
  const species = Object.entries(respirationOf).flatMap(([name, fish]) =>
    fish.kind === 'optimum' ? [[name, fish] as const] : [],
  )

  it.each(species)(
    '%s: rises to the optimum temperature, falls after it, ends at the lethal one',
    (_, fish) => {
      const at = (temperature: number): number =>
        respirationToOptimum(fish, unit.grams(100), unit.celsius(temperature)) ?? NaN
      expect(at(fish.RTO - 5)).toBeLessThan(at(fish.RTO))
      expect(at(fish.RTM - 0.5)).toBeLessThan(at(fish.RTO))
      expect(respirationToOptimum(fish, unit.grams(100), fish.RTM)).toBeNull()
    },
  )

  it('is smaller per kilogram in larger fish', () => {
    fc.assert(
      fc.property(fc.constantFrom(...species), within(5, 1000), within(5, 20), ([, fish], mass, warm) => {
        const small = respirationToOptimum(fish, unit.grams(mass), unit.celsius(warm))
        const large = respirationToOptimum(fish, unit.grams(mass * 2), unit.celsius(warm))
        expect(large).toBeLessThan(small ?? NaN)
      }),
    )
  })

  it('of tilapia is not told outside 24 to 32 degC and 3 to 226 g', () => {
    const told = (mass: number, warm: number) => tilapiaRespiration(unit.grams(mass), unit.celsius(warm))
    expect([told(50, 23.9), told(50, 32.1), told(2.9, 28), told(227, 28)]).toEqual([null, null, null, null])
    expect(told(50, 28)).not.toBeNull()
  })
})

describe('carbon dioxide', () => {
  it('falls tenfold with each pH and is proportional to alkalinity', () => {
    fc.assert(
      fc.property(within(0, 40), within(6, 7.3), within(1, 300), (warm, acid, alkalinity) => {
        const at = (p: number, alk: number): number =>
          freeCarbonDioxide(
            { temperature: unit.celsius(warm), ph: unit.ph(p) },
            unit.milligramsPerLitreAsCaCO3(alk),
          ) ?? NaN
        expect(at(acid, alkalinity) / at(acid + 1, alkalinity)).toBeCloseTo(10, 6)
        expect(at(acid, alkalinity * 2) / at(acid, alkalinity)).toBeCloseTo(2, 9)
      }),
    )
  })

  it('is not told where carbonate or other acids count', () => {
    const told = (p: number) =>
      freeCarbonDioxide({ temperature: unit.celsius(20), ph: unit.ph(p) }, unit.milligramsPerLitreAsCaCO3(50))
    expect([told(5.9), told(8.4)]).toEqual([null, null])
  })
})

describe('doses', () => {
  const alkalinity = (now: number, wanted: number) => ({
    now: unit.milligramsPerLitreAsCaCO3(now),
    wanted: unit.milligramsPerLitreAsCaCO3(wanted),
  })

  // Equivalent masses from atomic weights: NaHCO3 84.007, KHCO3 100.115, Ca(OH)2 74.093/2, CaCO3 100.087/2 g/eq
  it.each([
    ['sodium bicarbonate', 1.6787],
    ['potassium bicarbonate', 2.0006],
    ['calcium hydroxide', 0.7403],
    ['calcium carbonate', 1],
  ])('of %s: %d g bring 1 g of alkalinity as CaCO3 (IUPAC atomic weights)', (name, grams) => {
    const base = baseNamed(name) ?? expect.fail(`there is no ${name}`)
    expect(baseDose(base, alkalinity(40, 50), unit.cubicMetres(0.1))).toBeCloseTo(grams, 3)
  })

  it('are nothing when there is enough, and every base says what to mind', () => {
    for (const base of bases) {
      expect(baseDose(base, alkalinity(80, 60), unit.cubicMetres(2))).toBe(0)
      expect(base.cautions).not.toEqual([])
    }
  })

  it('of salt never take chloride beyond the ratio, and never less than nothing', () => {
    fc.assert(
      fc.property(
        within(0, 10),
        within(0, 200),
        within(0.1, 20),
        within(1, 20),
        (nitrite, chloride, volume, ratio) => {
          const water = {
            nitrite: unit.milligramsPerLitreAsNO2(nitrite),
            chloride: unit.milligramsPerLitre(chloride),
          }
          const dose = saltDose(water, unit.cubicMetres(volume), ratio) ?? NaN
          expect(chloride + (dose * 0.6066) / volume).toBeCloseTo(Math.max(chloride, ratio * nitrite), 1)
        },
      ),
    )
  })
})

it('plants for the feed and feed for the plants are each other back', () => {
  fc.assert(
    fc.property(within(1, 5000), within(10, 100), (feed, ratio) => {
      const grown = plantAreaForFeed(unit.gramsPerDay(feed), unit.gramsPerSquareMetreDay(ratio))
      expect(
        feedForPlantArea(unit.squareMetres(grown ?? NaN), unit.gramsPerSquareMetreDay(ratio)),
      ).toBeCloseTo(feed, 8)
    }),
  )
})
