import psychrolib from 'psychrolib'
import { describe, expect, it } from 'vitest'
import { standardPressure } from '../../daemon/heat/atmosphere.js'
import { evaporation } from '../../daemon/heat/evaporation.js'
import { evaporativeLoss, stillAir } from '../../daemon/heat/hours-until-cold.js'
import {
  dewPoint,
  humidityRatio,
  saturationHumidityRatio,
  saturationVapourPressure,
  vapourPressureDeficit,
} from '../../daemon/heat/humid-air.js'
import {
  saturationSlope,
  saturationVapourPressureTetens,
  vapourPressureDeficitTetens,
} from '../../daemon/heat/vapour-pressure.js'
import { celsius, metres, pascals, percent, squareMetres } from '../../daemon/units/brands.js'

// humid-air.ts takes its formulas from psychrolib (ASHRAE 2017). What is computed here by other formulas is held against
// them over a grid; the largest deviation stands in the name of each test, and the test fails beyond it.

const grid = (from: number, to: number, by: number): readonly number[] =>
  Array.from({ length: Math.round((to - from) / by) + 1 }, (_, index) => from + index * by)
const value = <Value>(told: Value | null): Value => told ?? expect.fail('inside the range there is a value')
const largest = (deviations: readonly number[]): number => Math.max(...deviations.map(Math.abs))

const aboveFreezing = grid(0.5, 50, 0.5)
const below = grid(-20, -0.5, 0.5)
const humidities = grid(5, 95, 5)
const sea = pascals(101_325)

const pressureBy = (temperature: number) => value(saturationVapourPressure(celsius(temperature)))

/** Largest share by which the second differs from the first, over the grid. */
const off = (pairs: readonly (readonly [ours: number, theirs: number])[]): number =>
  largest(pairs.map(([ours, theirs]) => ours / theirs - 1))

describe('against psychrolib', () => {
  it('saturation pressure of FAO-56 is 0.11 % off at most, 0.5 to 50 degC', () => {
    const pairs = aboveFreezing.map(
      (t) => [1000 * value(saturationVapourPressureTetens(celsius(t))), pressureBy(t)] as const,
    )
    expect(off(pairs)).toBeCloseTo(0.0011, 4)
  })

  it('below freezing it is for water, not ice: 21 % above at -20 degC', () => {
    const pairs = below.map(
      (t) => [1000 * value(saturationVapourPressureTetens(celsius(t))), pressureBy(t)] as const,
    )
    expect(off(pairs)).toBeCloseTo(0.207, 3)
  })

  it('vapour pressure deficit of FAO-56 is 0.11 % off at most, 0.5 to 50 degC', () => {
    const pairs = aboveFreezing.flatMap((t) =>
      humidities.map(
        (humidity) =>
          [
            1000 * value(vapourPressureDeficitTetens(celsius(t), percent(humidity))),
            value(vapourPressureDeficit(celsius(t), percent(humidity))),
          ] as const,
      ),
    )
    expect(off(pairs)).toBeCloseTo(0.0011, 4)
  })

  it('slope of FAO-56 is 0.16 % off at most from the difference of two pressures, 1 to 49 degC', () => {
    const pairs = grid(1, 49, 0.5).map(
      (t) =>
        [
          1000 * value(saturationSlope(celsius(t))),
          (pressureBy(t + 0.05) - pressureBy(t - 0.05)) / 0.1,
        ] as const,
    )
    expect(off(pairs)).toBeCloseTo(0.0016, 4)
  })

  it('dew point by FAO-56 turned round is 0.017 K off at most, dew points above 0.5 degC', () => {
    const differences = aboveFreezing.flatMap((t) =>
      [...humidities, 100].flatMap((humidity) => {
        const theirs = value(dewPoint(celsius(t), percent(humidity)))
        const vapour = (value(saturationVapourPressureTetens(celsius(t))) * humidity) / 100
        const part = Math.log(vapour / 0.6108)
        return theirs > 0.5 ? [(237.3 * part) / (17.27 - part) - theirs] : []
      }),
    )
    expect(differences.length).toBeGreaterThan(1000)
    expect(largest(differences)).toBeCloseTo(0.017, 3)
  })

  it('heat of evaporation (HT-24) is 2.3 % off at most where it is above 30 W/m2, water 10 to 30 degC', () => {
    const pairs = grid(10, 30, 1).flatMap((water) =>
      grid(-5, water - 2, 1).flatMap((air) =>
        grid(50, 100, 10).flatMap((humidity) => {
          const ours = value(
            evaporativeLoss({ water: celsius(water), air: celsius(air) }, squareMetres(1), percent(humidity)),
          )
          const moist = { temperature: celsius(air), humidity: percent(humidity), pressure: sea }
          const saturated = value(saturationHumidityRatio(celsius(water), sea))
          const ratios = { saturated, air: value(humidityRatio(moist)) }
          const theirs = (value(evaporation(stillAir, squareMetres(1), ratios)) * 2.45e6) / 3600
          return theirs > 30 ? [[ours, theirs] as const] : []
        }),
      ),
    )
    expect(pairs.length).toBeGreaterThan(1000)
    expect(off(pairs)).toBeCloseTo(0.023, 3)
  })

  it('standard pressure is its own to 1e-12, 0 to 3000 m', () => {
    psychrolib.SetUnitSystem(psychrolib.SI)
    const pairs = grid(0, 3000, 100).map(
      (altitude) =>
        [value(standardPressure(metres(altitude))), psychrolib.GetStandardAtmPressure(altitude)] as const,
    )
    expect(off(pairs)).toBeLessThan(1e-12)
  })
})
