import { describe, expect, it } from 'vitest'
import { liveInTank, restingRespiration } from '../../daemon/practice/fish.js'
import { breatheAir, oxygenSaturation } from '../../daemon/practice/gases.js'
import { saturationPressure } from '../../daemon/practice/weather.js'
import { biofilterFigures, tanks } from '../../daemon/practice/larkfield.js'
import { nitrify } from '../../daemon/practice/nitrogen.js'
import { carry, phOf, qualityOf, waterOf, type WaterDraft } from '../../daemon/practice/water.js'

const goodWater = {
  volume: 1,
  temperature: 25,
  oxygen: 8,
  ammonia: 1,
  nitrite: 0.2,
  nitrate: 40,
  alkalinity: 100,
  carbonDioxide: 3,
}
const draft = (changes: Partial<typeof goodWater> = {}): WaterDraft => ({
  ...waterOf({ ...goodWater, ...changes }),
})

describe('oxygen saturation', () => {
  it.each([
    [0, 14.62],
    [10, 11.29],
    [20, 9.09],
    [25, 8.26],
    [30, 7.56],
  ])(
    'at %d degrees is %d mg/L (Standard Methods 4500-O table, moist air, 1 atm; to 0.03)',
    (temperature, table) => {
      expect(Math.abs(oxygenSaturation(temperature, 0) - table)).toBeLessThan(0.03)
    },
  )

  it('falls with altitude as pressure does: 898.7 hPa at 1000 m (US Standard Atmosphere 1976)', () => {
    expect(oxygenSaturation(20, 1000) / oxygenSaturation(20, 0)).toBeCloseTo(898.7 / 1013.25, 3)
  })
})

describe('exchange with the air', () => {
  it('takes up nothing at balance and gives off above it', () => {
    const balance = 0.98 * oxygenSaturation(25, 0)
    expect(breatheAir(draft({ oxygen: balance }), 6, 0, 60)).toBeCloseTo(0, 9)
    expect(breatheAir(draft({ oxygen: 12 }), 6, 0, 60)).toBeLessThan(0)
  })

  it('never overshoots, however long the step', () => {
    const water = draft({ oxygen: 1 })
    breatheAir(water, 100, 0, 86_400)
    expect(qualityOf(water).oxygen).toBeCloseTo(0.98 * oxygenSaturation(25, 0), 6)
  })

  it('closes 63 % of the gap in one hour at 1/h and 20 degrees', () => {
    const water = draft({ oxygen: 0, temperature: 20 })
    breatheAir(water, 1, 0, 3600)
    expect(water.oxygen / (0.98 * oxygenSaturation(20, 0))).toBeCloseTo(1 - Math.exp(-1), 9)
  })
})

describe('fish', () => {
  it.each([
    [240, 26, 89.895],
    [240, 28, 105.34],
    [50, 22, 110.54],
    [350, 32, 122.32],
  ])(
    'tilapia of %d g at %d degrees take %d mg O2/(kg.h) at rest (Fish Bioenergetics 4.0)',
    (mass, temperature, rate) => {
      expect(Math.abs(restingRespiration(mass, temperature) - rate)).toBeLessThan(0.06)
    },
  )

  it('breathe 0.25 to 0.4 kg for 1 kg of feed over a day (Timmons & Ebeling 2010: at least 0.25, fish only)', () => {
    const tank = tanks['tank-1']
    const stock = { gut: 0, leftOver: 0, film: 0 }
    const water = draft({ volume: 1000, temperature: 27 })
    let breathed = 0
    for (let minute = 0; minute < 3 * 1440; minute++) {
      const [mealtime, daylight] = [
        [480, 1020].includes(minute % 1440),
        minute % 1440 > 420 && minute % 1440 < 1080 ? 1 : 0,
      ]
      const feed = mealtime ? tank.feedPerDay / 2 : 0
      const turn = liveInTank(tank, [stock, water], { feed, daylight, mealtime, mood: 1 }, 60)
      if (minute >= 2 * 1440) breathed += turn.breathed
    }
    expect(breathed / tank.feedPerDay).toBeGreaterThan(0.25)
    expect(breathed / tank.feedPerDay).toBeLessThan(0.4)
  })

  it('set free 0.092 x protein of digested feed as ammonia N (Timmons & Ebeling 2010)', () => {
    const stock = { gut: 1000, leftOver: 0, film: 0 }
    const turn = liveInTank(
      tanks['tank-1'],
      [stock, draft()],
      { feed: 0, daylight: 0, mealtime: false, mood: 1 },
      3600,
    )
    expect(turn.nitrogen).toBeCloseTo(0.092 * 0.36 * (1000 - stock.gut), 9)
  })

  it('leave feed lying when it is too cold to eat (FAO 589: below 17 degrees)', () => {
    const stock = { gut: 0, leftOver: 0, film: 0 }
    const weather = { feed: 100, daylight: 1, mealtime: true, mood: 1 }
    liveInTank(tanks['tank-1'], [stock, draft({ temperature: 16 })], weather, 5)
    expect(stock.gut).toBe(0)
    expect(stock.leftOver).toBeGreaterThan(99)
  })
})

describe('nitrification', () => {
  it('works at 1.184 g N/(m2.d) at 25 degrees and 1 mg/L with ample oxygen (Rusten et al. 2006)', () => {
    const water = draft({ volume: 100, nitrite: 0 })
    expect(phOf(water)).toBeGreaterThan(7.3)
    const before = water.ammonia
    nitrify(water, 60)
    expect(((before - water.ammonia) * 1440) / biofilterFigures.mediaArea).toBeCloseTo(1.1837, 3)
  })

  it('takes 4.57 g O2 and 7.14 g CaCO3 for 1 g N all the way (stoichiometry)', () => {
    const water = draft({ volume: 100 })
    const before = qualityOf(water)
    const taken = nitrify(water, 600)
    const after = qualityOf(water)
    const first = (before.ammonia - after.ammonia) * 100
    const second = (after.nitrate - before.nitrate) * 100
    expect(taken).toBeCloseTo(3.43 * first + 1.14 * second, 6)
    expect(((before.alkalinity - after.alkalinity) * 100) / first).toBeCloseTo(7.14, 1)
  })

  it('stands still without oxygen, and is slower when oxygen limits', () => {
    const without = draft({ oxygen: 0 })
    expect(nitrify(without, 600)).toBe(0)
    const little = draft({ volume: 100, oxygen: 1 })
    const plenty = draft({ volume: 100, oxygen: 8 })
    expect(nitrify(little, 60)).toBeLessThan(0.6 * nitrify(plenty, 60))
  })
})

describe('water', () => {
  it('is the same after there and back', () => {
    const { ph, ...quality } = qualityOf(waterOf(goodWater))
    expect(ph).toBeGreaterThan(6)
    for (const [name, value] of Object.entries(quality))
      expect(value, name).toBeCloseTo(Object(goodWater)[name], 9)
  })

  it('has pH 6.35 where bicarbonate and carbon dioxide are equal, 25 degrees (Harned & Davis 1943)', () => {
    const equal = draft()
    equal.carbon = 2 * equal.alkalinity
    expect(phOf(equal)).toBeCloseTo(6.35, 2)
  })

  it('moves with everything in it, and loses nothing', () => {
    const [from, to] = [draft({ volume: 2 }), draft({ volume: 1, oxygen: 2, temperature: 10 })]
    const total = (part: keyof WaterDraft): number => from[part] + to[part]
    const parts = Object.keys(from) as (keyof WaterDraft)[]
    const before = parts.map(total)
    expect(carry(from, to, 0.5)).toBeCloseTo(0.5, 12)
    parts.forEach((part, index) => expect(total(part), part).toBeCloseTo(before[index] ?? NaN, 9))
    expect(qualityOf(from).oxygen).toBeCloseTo(8, 9)
    expect(qualityOf(to).oxygen).toBeCloseTo((2 + 0.5 * 8) / 1.5, 9)
  })

  it('cannot be emptied in one go', () => {
    const [from, to] = [draft(), draft()]
    expect(carry(from, to, 50)).toBeCloseTo(0.9, 12)
    expect(from.volume).toBeGreaterThan(0)
  })
})

describe('moist air', () => {
  it.each([
    [1, 0.657],
    [20, 2.338],
    [45, 9.585],
  ])('holds %d degrees: %d kPa (FAO-56 annex table 2.3; to 0.003)', (temperature, table) => {
    expect(Math.abs(saturationPressure(temperature) - table)).toBeLessThan(0.003)
  })
})
