import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { firstBelief, learnPace, paceBelow } from '../../daemon/chemistry/nitrifier-pace.js'
import {
  arealRateAtOne,
  nitrificationCapacity,
  nitrifierPaces,
  nitrifierRate,
  shareAtPh,
} from '../../daemon/chemistry/nitrifiers.js'
import { arealNitrificationRate } from '../../daemon/chemistry/nitrification.js'
import { chlorideForNitrite, nitrateGain, plantUptake } from '../../daemon/chemistry/nitrogen-balance.js'
import {
  forecastNitrogen,
  settledAmmonia,
  type DissolvedNitrogen,
  type NitrogenLoop,
} from '../../daemon/chemistry/nitrogen-forecast.js'
import * as unit from '../../daemon/units/brands.js'
import { days } from '../../daemon/units/time.js'

const within = (min: number, max: number) => fc.double({ min, max, noNaN: true })
const as = <Value>(brand: (value: number) => Value, min: number, max: number) => within(min, max).map(brand)

const water = fc.record({
  temperature: as(unit.celsius, 4, 30),
  oxygen: as(unit.milligramsPerLitre, 0, 12),
  ph: as(unit.ph, 6, 9),
})
const pace = as(unit.gramsPerSquareMetreDay, 0, 2)
const loop: fc.Arbitrary<NitrogenLoop> = fc.record({
  volume: as(unit.cubicMetres, 0.2, 200),
  media: as(unit.squareMetres, 0, 2000),
  load: as(unit.gramsPerDay, 0, 1000),
  water,
  pace: fc.record({ ammonia: pace, nitrite: pace }),
})
const now: fc.Arbitrary<DissolvedNitrogen> = fc.record({
  ammonia: as(unit.milligramsPerLitreAsN, 0, 30),
  nitrite: as(unit.milligramsPerLitreAsN, 0, 30),
})
const ahead = as(unit.inHours, 0, 168)

const later = (of: NitrogenLoop, from: DissolvedNitrogen, time: ReturnType<typeof unit.inHours>) =>
  forecastNitrogen(of, from, time) ?? expect.fail('it must be told')

describe('nitrogen of a loop', () => {
  it('is neither made nor lost: what was there and what was fed is in one of the three', () => {
    fc.assert(
      fc.property(loop, now, ahead, (of, from, time) => {
        const { ammonia, nitrite, nitrateMade } = later(of, from, time)
        for (const one of [ammonia, nitrite, nitrateMade]) expect(one).toBeGreaterThanOrEqual(0)
        const fed = (of.load * time) / 24 / of.volume
        const total = from.ammonia + from.nitrite + fed
        expect(Math.abs(ammonia + nitrite + nitrateMade - total)).toBeLessThanOrEqual(1e-9 * (1 + total))
      }),
    )
  })

  it('never falls with more feed, more to begin with, or slower bacteria', () => {
    fc.assert(
      fc.property(loop, now, ahead, within(1, 3), (of, from, time, more) => {
        const { ammonia } = later(of, from, time)
        const slack = 1e-9 * (1 + ammonia)
        const fed = { ...of, load: unit.gramsPerDay(of.load * more) }
        expect(later(fed, from, time).ammonia).toBeGreaterThanOrEqual(ammonia - slack)
        const richer = { ...from, ammonia: unit.milligramsPerLitreAsN(from.ammonia * more) }
        expect(later(of, richer, time).ammonia).toBeGreaterThanOrEqual(ammonia - slack)
        const slower = unit.gramsPerSquareMetreDay(of.pace.ammonia / more)
        expect(
          later({ ...of, pace: { ...of.pace, ammonia: slower } }, from, time).ammonia,
        ).toBeGreaterThanOrEqual(ammonia - slack)
      }),
    )
  })

  it('settles where the media turn over what is fed, and stays there', () => {
    fc.assert(
      fc.property(loop, (of) => {
        const settled = settledAmmonia(of)
        const capacity = nitrificationCapacity(of.media, of.water, of.pace.ammonia) ?? 0
        if (settled === null) {
          expect(of.load).toBeGreaterThanOrEqual(capacity * (1 - 1e-9))
          return
        }
        expect(of.load).toBeLessThanOrEqual(capacity * (1 + 1e-9))
        const from = { ammonia: settled, nitrite: unit.milligramsPerLitreAsN(0) }
        expect(later(of, from, unit.inHours(168)).ammonia).toBeCloseTo(settled, 6)
      }),
    )
  })

  it('grows without end where more is fed than the media can turn over', () => {
    fc.assert(
      fc.property(loop, now, within(1.01, 3), (of, from, more) => {
        const capacity = nitrificationCapacity(of.media, of.water, of.pace.ammonia) ?? 0
        const fed = { ...of, load: unit.gramsPerDay(more * capacity + 1) }
        const [soon, late] = [unit.inHours(84), unit.inHours(168)].map(
          (time) => later(fed, from, time).ammonia,
        )
        expect(late).toBeGreaterThan(soon ?? Number.NaN)
        // At least the excess of half a week, all the time.
        const excess = ((fed.load - capacity) * 7) / fed.volume
        expect(late).toBeGreaterThanOrEqual(from.ammonia + excess * (1 - 1e-9))
      }),
    )
  })

  it('is told anew from any moment in between', () => {
    fc.assert(
      fc.property(loop, now, (of, from) => {
        const half = later(of, from, unit.inHours(24))
        const whole = later(of, from, unit.inHours(48))
        expect(later(of, half, unit.inHours(24)).ammonia).toBeCloseTo(whole.ammonia, 6)
      }),
    )
  })

  it.each([
    ['a week and an hour', {}, {}, 169],
    ['colder than 4 degC', { temperature: unit.celsius(3.9) }, {}, 24],
    ['warmer than 30 degC', { temperature: unit.celsius(30.1) }, {}, 24],
    ['below pH 6', { ph: unit.ph(5.9) }, {}, 24],
    ['no water', {}, { volume: unit.cubicMetres(0) }, 24],
    ['a negative load', {}, { load: unit.gramsPerDay(-1) }, 24],
  ])('is not told for %s', (_, odd, figures, time) => {
    const usual = { temperature: unit.celsius(26), oxygen: unit.milligramsPerLitre(6), ph: unit.ph(7) }
    const of = {
      volume: unit.cubicMetres(10),
      media: unit.squareMetres(100),
      load: unit.gramsPerDay(50),
      pace: { ammonia: nitrifierPaces.usual, nitrite: nitrifierPaces.usual },
      ...figures,
      water: { ...usual, ...odd },
    }
    const none = { ammonia: unit.milligramsPerLitreAsN(0), nitrite: unit.milligramsPerLitreAsN(0) }
    expect(forecastNitrogen(of, none, unit.inHours(time))).toBeNull()
  })
})

describe('nitrifiers', () => {
  it('are those of Rusten et al. 2006 (NIT-9) where oxygen and pH do not hinder', () => {
    fc.assert(
      fc.property(within(0, 2.5), within(4, 30), (nitrogen, temperature) => {
        const tan = unit.milligramsPerLitreAsN(nitrogen)
        const good = {
          temperature: unit.celsius(temperature),
          oxygen: unit.milligramsPerLitre(8),
          ph: unit.ph(7.5),
        }
        const published = arealNitrificationRate(tan, good.temperature, nitrifierPaces.usual)
        expect(nitrifierRate(tan, good, nitrifierPaces.usual)).toBeCloseTo(published ?? Number.NaN, 12)
      }),
    )
  })

  it('work half as fast at pH 6.7 as at 7.3 (rusten-ph)', () => {
    expect(shareAtPh(unit.ph(6.7)) / shareAtPh(unit.ph(7.3))).toBeCloseTo(0.5, 12)
  })

  it('never work faster with less oxygen, cold, or acid', () => {
    fc.assert(
      fc.property(water, within(0, 5), within(0, 1), (of, nitrogen, less) => {
        const rate = (one: typeof of): number =>
          nitrifierRate(unit.milligramsPerLitreAsN(nitrogen), one, nitrifierPaces.usual) ?? Number.NaN
        const best = rate(of) + 1e-12
        expect(rate({ ...of, oxygen: unit.milligramsPerLitre(of.oxygen * less) })).toBeLessThanOrEqual(best)
        const cooler = unit.celsius(4 + (of.temperature - 4) * less)
        expect(rate({ ...of, temperature: cooler })).toBeLessThanOrEqual(best)
        expect(rate({ ...of, ph: unit.ph(6 + (of.ph - 6) * less) })).toBeLessThanOrEqual(best)
        expect(arealRateAtOne(of, nitrifierPaces.low)).toBeLessThan(
          arealRateAtOne(of, nitrifierPaces.high) ?? Number.NaN,
        )
      }),
    )
  })
})

describe('the pace of one filter', () => {
  it('is believed to lie between the ends of the books four times out of five, before anything was measured', () => {
    // A tenth of the belief is kept for filters that are in no book.
    expect(paceBelow(firstBelief, 0.1) / nitrifierPaces.low).toBeGreaterThan(0.75)
    expect(paceBelow(firstBelief, 0.1)).toBeLessThanOrEqual(nitrifierPaces.low)
    expect(paceBelow(firstBelief, 0.9) / nitrifierPaces.high).toBeLessThan(1.3)
    expect(paceBelow(firstBelief, 0.9)).toBeGreaterThanOrEqual(nitrifierPaces.high)
  })

  it('is found within a week from what it does, if it can do what is asked of it', () => {
    fc.assert(
      fc.property(within(0.2, 1.5), (truth) => {
        const of = (k: number): NitrogenLoop => ({
          volume: unit.cubicMetres(10),
          media: unit.squareMetres(100),
          load: unit.gramsPerDay(60),
          water: { temperature: unit.celsius(24), oxygen: unit.milligramsPerLitre(7), ph: unit.ph(7.4) },
          pace: { ammonia: unit.gramsPerSquareMetreDay(k), nitrite: nitrifierPaces.usual },
        })
        let from = { ammonia: unit.milligramsPerLitreAsN(1), nitrite: unit.milligramsPerLitreAsN(0) }
        let belief = firstBelief
        for (let day = 0; day < 6; day += 1) {
          const before = from
          from = later(of(truth), before, unit.inHours(24))
          belief = learnPace(
            belief,
            { value: from.ammonia, doubt: 0.2 },
            days(1),
            (k) => later(of(k), before, unit.inHours(24)).ammonia,
          )
        }
        expect(belief.reduce((sum, one) => sum + one, 0)).toBeCloseTo(1, 9)
        expect(paceBelow(belief, 0.1)).toBeLessThan(truth * 1.25)
        expect(paceBelow(belief, 0.9)).toBeGreaterThan(truth / 1.25)
        expect(paceBelow(belief, 0.9) / paceBelow(belief, 0.1)).toBeLessThan(
          paceBelow(firstBelief, 0.9) / paceBelow(firstBelief, 0.1),
        )
      }),
      { numRuns: 40 },
    )
  })
})

describe('what plants leave', () => {
  const grams = as(unit.gramsPerDay, 0, 500)
  it('is nothing where they take what is nitrified, less with more plants, and halves in twice the water', () => {
    fc.assert(
      fc.property(grams, grams, as(unit.cubicMetres, 0.1, 100), (nitrified, uptake, volume) => {
        expect(nitrateGain(nitrified, nitrified, volume)).toBe(0)
        const gain = nitrateGain(nitrified, uptake, volume) ?? Number.NaN
        expect(gain * volume).toBeCloseTo(nitrified - uptake, 6)
        expect(nitrateGain(nitrified, uptake, unit.cubicMetres(2 * volume))).toBeCloseTo(gain / 2, 9)
      }),
    )
  })
  it('by the feed rate ratio: 45 g of feed a m2 are 1.32 g of nitrogen (FAO 589, chapter 8; NIT-1 at 32 %)', () => {
    expect(plantUptake(unit.squareMetres(10), unit.gramsPerSquareMetreDay(45))).toBeCloseTo(13.25, 2)
  })
})

it('chloride of 100 mg/L stands ten to one against 10 mg/L of nitrite as NO2, 3.04 as N', () => {
  const nitrite = unit.milligramsPerLitreAsN(10 * (14.007 / 46.005))
  expect(chlorideForNitrite(unit.milligramsPerLitre(100), nitrite)).toBeCloseTo(10, 9)
  expect(chlorideForNitrite(unit.milligramsPerLitre(100), unit.milligramsPerLitreAsN(0))).toBeNull()
})
