import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { Fault } from '../../daemon/errors.js'
import { converter, differenceConverter, parseMeasure, unitCode } from '../../daemon/units/convert.js'
import { quantities } from '../../daemon/units/quantities.js'
import { everydayWords } from '../../daemon/units/unit-words.js'

/** Units that measure the same thing, as people and probes write them. */
const families: readonly (readonly string[])[] = [
  ['Cel', 'degF', 'K', '°C', '°F'],
  ['mg/L', 'ug/L', 'g/m3', 'ppm', 'kg/L', 'mg/dL'],
  ['L', 'gal', 'm3', 'ft3', 'mL'],
  ['kPa', 'psi', 'mbar', 'mmHg', 'inHg', 'm[H2O]'],
  ['L/min', 'gpm', 'm3/h', 'cfm', 'gph'],
  ['s', 'min', 'h', 'd', 'a', 'ms'],
  ['kg', 'lb', 'oz', 'g'],
  ['uS/cm', 'mS/cm', 'S/m'],
]

const pair = fc
  .constantFrom(...families)
  .chain((family) => fc.tuple(fc.constantFrom(...family), fc.constantFrom(...family)))
const value = fc.double({ min: -1e6, max: 1e6, noNaN: true })

/** Conversions are rounded to 12 significant digits, temperatures to a billionth of a degree. */
const near = (a: number, b: number): boolean =>
  Math.abs(a - b) <= 1e-8 + 1e-9 * Math.max(Math.abs(a), Math.abs(b))

describe('conversions', () => {
  it('there and back again is where we were', () => {
    fc.assert(
      fc.property(pair, value, ([from, to], x) => {
        const there = converter(from, to)(x)
        // Where the other unit is so large that the value drowns in its last digit, nothing can come back.
        fc.pre(from === to || Math.abs(there) > 1e-6 || x === 0)
        expect(near(converter(to, from)(there), x)).toBe(true)
      }),
    )
  })

  it('keep the order of values, and differences add up', () => {
    fc.assert(
      fc.property(pair, value, value, ([from, to], x, y) => {
        const convert = converter(from, to)
        expect(Math.sign(convert(y) - convert(x)) * Math.sign(y - x)).toBeGreaterThanOrEqual(0)
        const step = differenceConverter(from, to)(y - x)
        // Each term is rounded by itself: where large ones cancel, the error is that of the terms, not of what is left.
        const terms = Math.max(Math.abs(convert(x)), Math.abs(step), Math.abs(convert(y)))
        expect(Math.abs(convert(x) + step - convert(y))).toBeLessThanOrEqual(1e-8 + 4e-12 * terms)
      }),
    )
  })

  it('to the same unit change nothing, not even the last digit', () => {
    const units = [...families.flat(), ...quantities.map(({ unit }) => unit).filter((unit) => unit !== '')]
    fc.assert(
      fc.property(fc.constantFrom(...units), value, (unit, x) => {
        expect(converter(unit, unit)(x)).toBe(x)
      }),
    )
  })
})

describe('reading', () => {
  it('takes what a number and a unit give', () => {
    fc.assert(
      fc.property(fc.constantFrom(...families.flat(), ...everydayWords), value, (unit, x) => {
        expect(parseMeasure(`${x} ${unit}`)).toEqual({ value: Number(String(x)), unit: unitCode(unit) })
      }),
    )
  })

  it('never throws anything but a Fault with a hint of what is wrong', () => {
    const text = fc.oneof(
      fc.string(),
      fc.tuple(fc.nat(), fc.string()).map(([figure, rest]) => `${figure} ${rest}`),
    )
    fc.assert(
      fc.property(text, (written) => {
        try {
          expect(Number.isFinite(parseMeasure(written).value)).toBe(true)
        } catch (cause) {
          expect(cause).toBeInstanceOf(Fault)
        }
      }),
      { numRuns: 1000 },
    )
  })
})
