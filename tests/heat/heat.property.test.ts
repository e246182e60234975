import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  standardPressure,
  standardPressureInAtmospheres,
  stationPressure,
} from '../../daemon/heat/atmosphere.js'
import { evaporation } from '../../daemon/heat/evaporation.js'
import { frostMinimum } from '../../daemon/heat/frost.js'
import { conductionLoss, houseLossPerKelvin, infiltrationLoss } from '../../daemon/heat/heat-loss.js'
import {
  dewPoint,
  humidityRatio,
  humidityRatioFromWetBulb,
  saturationVapourPressure,
  vapourPressureDeficit,
  wetBulb,
} from '../../daemon/heat/humid-air.js'
import {
  saturationVapourPressureTetens,
  vapourPressureDeficitTetens,
} from '../../daemon/heat/vapour-pressure.js'
import { heatingEnergy, hoursUntilTemperature, timeConstant } from '../../daemon/heat/water-temperature.js'
import * as unit from '../../daemon/units/brands.js'

const within = (min: number, max: number) => fc.double({ min, max, noNaN: true })
const value = <Value>(told: Value | null): Value => told ?? expect.fail('inside the range there is a value')

const air = fc.record({
  temperature: within(-15, 45).map(unit.celsius),
  humidity: within(5, 100).map(unit.percent),
  pressure: within(70_000, 105_000).map(unit.pascals),
})

describe('humid air', () => {
  it('has its dew point at or below the wet bulb, and the wet bulb at or below the dry one', () => {
    fc.assert(
      fc.property(air, (given) => {
        const dew = value(dewPoint(given.temperature, given.humidity))
        const wet = value(wetBulb(given))
        // 0.002 K: both are found by iteration, to 0.001 K each (psychrolib). Below freezing the frost point lies
        // above the dew point, so the order need not hold there.
        if (dew > 0.5) expect(dew).toBeLessThanOrEqual(wet + 0.002)
        expect(wet).toBeLessThanOrEqual(given.temperature + 0.002)
      }),
    )
  })

  it('gives back its humidity from the dew point, and its humidity ratio from the wet bulb', () => {
    fc.assert(
      fc.property(air, (given) => {
        const dew = value(dewPoint(given.temperature, given.humidity))
        const back =
          (100 * value(saturationVapourPressure(dew))) / value(saturationVapourPressure(given.temperature))
        expect(back).toBeCloseTo(given.humidity, 1)
        if (given.temperature < 1) return
        const wet = value(wetBulb(given))
        const ratio = humidityRatioFromWetBulb({
          ...given,
          wetBulb: unit.celsius(Math.min(wet, given.temperature)),
        })
        if (wet > 0.5) expect(Math.abs(value(ratio) - value(humidityRatio(given)))).toBeLessThan(5e-6)
      }),
    )
  })

  it('lacks less vapour the more it holds, none when saturated', () => {
    fc.assert(
      fc.property(air, ({ temperature }) => {
        expect(vapourPressureDeficit(temperature, unit.percent(100))).toBe(0)
        const [dry, moist] = [40, 60].map((one) =>
          value(vapourPressureDeficit(temperature, unit.percent(one))),
        )
        expect(dry).toBeGreaterThan(moist ?? NaN)
      }),
    )
  })

  it('is the same within 0.3 % by FAO-56 and by ASHRAE, above freezing', () => {
    fc.assert(
      fc.property(within(0.1, 45).map(unit.celsius), (temperature) => {
        const field = value(saturationVapourPressureTetens(temperature)) * 1000
        expect(Math.abs(field / value(saturationVapourPressure(temperature)) - 1)).toBeLessThan(0.003)
      }),
    )
  })

  it('is not told for impossible humidity, dryness without a dew point, or a wet bulb above the dry one', () => {
    const warm = unit.celsius(20)
    expect(dewPoint(warm, unit.percent(101))).toBeNull()
    expect(dewPoint(warm, unit.percent(0))).toBeNull()
    expect(vapourPressureDeficitTetens(warm, unit.percent(-1))).toBeNull()
    const pressure = unit.pascals(101_325)
    expect(humidityRatioFromWetBulb({ temperature: warm, wetBulb: unit.celsius(21), pressure })).toBeNull()
    expect(humidityRatioFromWetBulb({ temperature: warm, wetBulb: unit.celsius(2), pressure })).toBeNull()
  })
})

describe('the atmosphere', () => {
  it('is thinner the higher, and scales what is reduced to sea level', () => {
    fc.assert(
      fc.property(within(-500, 10_000), within(1, 1000), (low, step) => {
        const [a, b] = [low, low + step].map((one) => value(standardPressure(unit.metres(one))))
        expect(b).toBeLessThan(a ?? NaN)
        const scaled = value(stationPressure(unit.pascals(101_325), unit.metres(low)))
        expect(scaled).toBeCloseTo(a ?? NaN, 6)
        expect(value(standardPressureInAtmospheres(unit.metres(low))) * 101_325).toBeCloseTo(a ?? NaN, 6)
      }),
    )
    expect(standardPressure(unit.metres(11_001))).toBeNull()
  })
})

describe('loss of heat', () => {
  it('of cover and leaks is the loss per kelvin times the difference', () => {
    fc.assert(
      fc.property(
        within(1, 1000),
        within(0.5, 8),
        within(1, 3000),
        within(0, 4),
        (area, u, volume, changes) => {
          const cover = { area: unit.squareMetres(area), uValue: unit.wattsPerSquareMetreKelvin(u) }
          const leak = { volume: unit.cubicMetres(volume), airChanges: unit.perHour(changes) }
          const winter = { inside: unit.celsius(12), outside: unit.celsius(-3) }
          const both =
            value(conductionLoss(cover.area, cover.uValue, winter)) +
            value(infiltrationLoss(leak.volume, leak.airChanges, winter))
          expect(both / 15).toBeCloseTo(value(houseLossPerKelvin(cover, leak)), 6)
        },
      ),
    )
  })
})

describe('the temperature of unheated water', () => {
  const cooling = fc.record({
    start: within(10, 30).map(unit.celsius),
    ambient: within(-15, 35).map(unit.celsius),
    limit: within(5, 30).map(unit.celsius),
  })
  const water = unit.kilograms(2000)
  const loss = unit.wattsPerKelvin(50)

  it('is the limit at the time that is told, and never crosses it when told never', () => {
    fc.assert(
      fc.property(cooling, (given) => {
        const until = value(hoursUntilTemperature(given, water, loss))
        const tau = value(timeConstant(water, loss))
        const after = (hours: number): number =>
          given.ambient + (given.start - given.ambient) * Math.exp(-hours / tau)
        if (until.kind === 'in') expect(after(until.hours)).toBeCloseTo(given.limit, 6)
        if (until.kind !== 'never') return
        const side = Math.sign(given.start - given.limit)
        for (const hours of [1, 10, 100, 1000])
          expect(Math.sign(after(hours) - given.limit) * side).toBeGreaterThanOrEqual(0)
      }),
    )
  })

  it('is told as now at the limit, and not at all without a loss', () => {
    const given = { start: unit.celsius(20), ambient: unit.celsius(5), limit: unit.celsius(20) }
    expect(hoursUntilTemperature(given, water, loss)).toEqual({ kind: 'now' })
    expect(hoursUntilTemperature(given, water, unit.wattsPerKelvin(0))).toBeNull()
  })

  it('takes as much energy up as it gives down', () => {
    const warmed = value(heatingEnergy(water, unit.kelvinDifference(4)))
    expect(heatingEnergy(water, unit.kelvinDifference(-4))).toBeCloseTo(-warmed, 12)
  })
})

it('evaporation is not told beyond 2 m/s, for which the formula was not made', () => {
  const humid = { saturated: unit.kilogramsPerKilogram(0.03), air: unit.kilogramsPerKilogram(0.01) }
  expect(evaporation(unit.metresPerSecond(2.1), unit.squareMetres(1), humid)).toBeNull()
})

describe('the frost forecast', () => {
  it('finds the line that the nights lie on, where the dew point tells nothing more', () => {
    const nights = [2, 4, 6, 8, 10, 12].map((temperature, night) => ({
      temperature: unit.celsius(temperature),
      dewPoint: unit.celsius(night % 2 === 0 ? -1 : -3),
      minimum: unit.celsius(temperature * 0.5 - 4),
    }))
    const tonight = { temperature: unit.celsius(7), dewPoint: unit.celsius(-2) }
    expect(frostMinimum(nights, tonight)).toBeCloseTo(-0.5, 9)
    expect(frostMinimum(nights.slice(0, 4), tonight)).toBeNull()
    const alike = nights.map((night) => ({ ...night, temperature: unit.celsius(3) }))
    expect(frostMinimum(alike, tonight)).toBeNull()
  })
})
