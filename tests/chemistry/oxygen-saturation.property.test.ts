import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  oxygenFromPercent,
  oxygenSaturationConcentration,
  oxygenSaturationPercent,
} from '../../daemon/chemistry/oxygen-saturation.js'
import { salinityFromConductivity } from '../../daemon/chemistry/salinity.js'
import {
  atmospheres,
  celsius,
  gramsPerKilogram,
  microsiemensPerCentimetre,
  milligramsPerLitre,
  percent,
} from '../../daemon/units/brands.js'

const within = (min: number, max: number) => fc.double({ min, max, noNaN: true })
const water = fc.record({
  temperature: within(0, 40).map(celsius),
  salinity: within(0, 40).map(gramsPerKilogram),
  pressure: within(0.5, 1.1).map(atmospheres),
})
const saturation = (given: Parameters<typeof oxygenSaturationConcentration>[0]): number =>
  oxygenSaturationConcentration(given) ?? expect.fail('inside the range there is a value')

describe('oxygen in saturated water', () => {
  it('is less in warmer, in saltier, and in higher water', () => {
    fc.assert(
      fc.property(water, within(0.01, 5), (given, step) => {
        const here = saturation(given)
        if (given.temperature + step <= 40) {
          expect(saturation({ ...given, temperature: celsius(given.temperature + step) })).toBeLessThan(here)
        }
        if (given.salinity + step <= 40) {
          expect(saturation({ ...given, salinity: gramsPerKilogram(given.salinity + step) })).toBeLessThan(
            here,
          )
        }
        if (given.pressure - step / 100 >= 0.5) {
          expect(saturation({ ...given, pressure: atmospheres(given.pressure - step / 100) })).toBeLessThan(
            here,
          )
        }
      }),
    )
  })

  it('goes to per cent and back', () => {
    fc.assert(
      fc.property(water, within(0, 30), (given, oxygen) => {
        const share = oxygenSaturationPercent(milligramsPerLitre(oxygen), given)
        const back = oxygenFromPercent(percent(share ?? NaN), given)
        expect(back).toBeCloseTo(oxygen, 10)
      }),
    )
  })

  it('is not told outside the range in which it was fitted', () => {
    const inside = { temperature: celsius(20), salinity: gramsPerKilogram(0), pressure: atmospheres(1) }
    const outside = [
      { temperature: celsius(-0.1) },
      { temperature: celsius(40.1) },
      { salinity: gramsPerKilogram(-1) },
      { salinity: gramsPerKilogram(41) },
      { pressure: atmospheres(0.49) },
      { pressure: atmospheres(1.11) },
      { temperature: celsius(NaN) },
    ]
    for (const change of outside) expect(oxygenSaturationConcentration({ ...inside, ...change })).toBeNull()
  })

  it('salinity rises with conductivity, and is not told below zero or above sea water', () => {
    fc.assert(
      fc.property(within(0, 59_000), within(1, 1000), (low, step) => {
        const [a, b] = [low, low + step].map((one) =>
          salinityFromConductivity(microsiemensPerCentimetre(one)),
        )
        expect(b).toBeGreaterThan(a ?? NaN)
      }),
    )
    expect(salinityFromConductivity(microsiemensPerCentimetre(-1))).toBeNull()
    expect(salinityFromConductivity(microsiemensPerCentimetre(60_001))).toBeNull()
  })
})
