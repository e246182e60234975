import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  condensationMargin,
  coverTemperature,
  frostMargin,
  leafTemperature,
} from '../../daemon/heat/cover.js'
import { dewPoint } from '../../daemon/heat/humid-air.js'
import { heaterMargin } from '../../daemon/heat/heat-loss.js'
import * as unit from '../../daemon/units/brands.js'

const air = (inside: number, outside: number) => ({
  inside: unit.celsius(inside),
  outside: unit.celsius(outside),
})
const transfer = unit.wattsPerSquareMetreKelvin

describe('inner face of the cover', () => {
  it('double polyethylene (4.0) between 12 and -3 degC stands at 4.2 degC: 52 % of the way (ISO 6946, 0.13 m2.K/W)', () => {
    expect(coverTemperature(transfer(4), air(12, -3))).toBeCloseTo(12 - 15 * 4 * 0.13, 9)
  })

  it('lies between inside and outside, nearer to outside the more it lets through', () => {
    const temperature = fc.double({ min: -30, max: 40, noNaN: true })
    const uValue = fc.double({ min: 0, max: 12, noNaN: true })
    fc.assert(
      fc.property(temperature, temperature, uValue, uValue, (inside, outside, one, other) => {
        const [less, more] = [Math.min(one, other), Math.max(one, other)].map(
          (value) => coverTemperature(transfer(value), air(inside, outside)) ?? Number.NaN,
        )
        const away = (face: number): number => Math.abs(face - inside)
        expect(away(less ?? NaN)).toBeLessThanOrEqual(away(more ?? NaN) + 1e-9)
        expect(away(more ?? NaN)).toBeLessThanOrEqual(Math.abs(outside - inside) + 1e-9)
      }),
    )
  })

  it('drips below the dew point, and not above', () => {
    // 12 degC and 85 %: dew point 9.6 degC; the face at 4.2 degC drips.
    const dew = dewPoint(unit.celsius(12), unit.percent(85)) ?? expect.fail('there is a dew point')
    const face = coverTemperature(transfer(4), air(12, -3)) ?? expect.fail('there is a face')
    expect(condensationMargin(face, dew)).toBeCloseTo(4.2 - dew, 9)
    expect(condensationMargin(face, dew)).toBeLessThan(0)
    expect(condensationMargin(unit.celsius(11), dew)).toBeGreaterThan(0)
  })

  it('has no temperature for a U-value below zero or air that no house has', () => {
    expect(coverTemperature(transfer(-1), air(12, -3))).toBeNull()
    expect(coverTemperature(transfer(4), air(12, -61))).toBeNull()
  })
})

describe('a leaf at night', () => {
  it('is a quarter of the difference colder than the air, towards the cover', () => {
    expect(leafTemperature(unit.celsius(2), unit.celsius(-8))).toBeCloseTo(2 - (10 * 4.9) / 19.8, 9)
  })

  it('may freeze in air that does not', () => {
    expect(frostMargin(unit.celsius(2), unit.celsius(-8))).toBeLessThan(0)
    expect(frostMargin(unit.celsius(2), unit.celsius(2))).toBe(2)
    expect(frostMargin(unit.celsius(90), unit.celsius(2))).toBeNull()
  })
})

it('heaters have their whole power to spare while the house gains, and less than none when it loses more', () => {
  expect(heaterMargin(unit.watts(30_000), unit.watts(-4000))).toBe(30_000)
  expect(heaterMargin(unit.watts(30_000), unit.watts(32_240))).toBe(-2240)
  expect(heaterMargin(unit.watts(-1), unit.watts(0))).toBeNull()
})
