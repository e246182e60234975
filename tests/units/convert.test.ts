import { describe, expect, it } from 'vitest'
import { Fault } from '../../daemon/errors.js'
import {
  converter,
  differenceConverter,
  differenceIn,
  measureIn,
  parseMeasure,
  perMinuteIn,
  ratePerMinute,
  unitCode,
  writtenMeasure,
} from '../../daemon/units/convert.js'

/** The Fault that `act` throws; fails the test when it throws none. */
function faultOf(act: () => unknown): Fault {
  try {
    act()
  } catch (cause) {
    if (cause instanceof Fault) return cause
    throw cause
  }
  return expect.unreachable('nothing was thrown') as never
}

describe('parseMeasure', () => {
  it.each([
    ['4.5 mg/L', 4.5, 'mg/L'],
    ['4.5mg/L', 4.5, 'mg/L'],
    ['-2 °C', -2, 'Cel'],
    ['−2 °C', -2, 'Cel'],
    ['78 degF', 78, '[degF]'],
    ['500 gal', 500, '[gal_us]'],
    ['0.5 lb', 0.5, '[lb_av]'],
    ['1.0 /h', 1, '/h'],
    ['1 h-1', 1, 'h-1'],
    ['2 min', 2, 'min'],
    ['2 a', 2, 'a'],
    ['1.3e3 µS/cm', 1300, 'uS/cm'],
    ['4.0 W/(m2.K)', 4, 'W/(m2.K)'],
    ['3 W/m²', 3, 'W/m2'],
    ['7', 7, '1'],
    ['.5 m', 0.5, 'm'],
  ])('reads %s', (text, value, unit) => {
    expect(parseMeasure(text)).toEqual({ value, unit })
  })

  it.each([
    ['two minutes', 'does not begin with a number'],
    ['', 'does not begin with a number'],
    ['4,5 mg/L', 'decimal comma'],
    ['30 sx', '"sx" is not a unit'],
    ['1e999 m', 'too large'],
    ['4.5 mg/L mg', 'is not a unit'],
    // Names that every JavaScript object inherits are no units.
    ['1 constructor', 'is not a unit'],
    ['1 toString/L', 'is not a unit'],
    [`1 ${'m.'.repeat(200)}m`, 'is not a unit'],
  ])('refuses "%s"', (text, words) => {
    const fault = faultOf(() => parseMeasure(text))
    expect(fault.code).toBe('BW_UNIT')
    expect(fault.message).toContain(words)
  })

  it('says what was probably meant', () => {
    expect(faultOf(() => parseMeasure('4,5 mg/L')).hint).toBe('write 4.5 mg/L')
    expect(faultOf(() => parseMeasure('30 MIN')).hint).toBe('is it min?')
    expect(faultOf(() => parseMeasure('3 m g/L')).hint).toContain('mg/L')
  })

  it('is written as it was read', () => {
    expect(writtenMeasure(parseMeasure('4.5 mg/L'))).toBe('4.5 mg/L')
    expect(writtenMeasure(parseMeasure('6.5'))).toBe('6.5')
  })
})

describe('converter', () => {
  it.each([
    // Definitions: international inch, avoirdupois pound, US liquid gallon (NIST Handbook 44, appendix C)
    ['inch', 'cm', 1, 2.54],
    ['ft', 'm', 1, 0.3048],
    ['lb', 'kg', 1, 0.45359237],
    ['gal', 'L', 1, 3.785411784],
    // NIST Special Publication 811, appendix B
    ['psi', 'kPa', 1, 6.89475729317],
    ['BTU/(h.ft2.degF)', 'W/(m2.K)', 1, 5.67826334111],
    ['cfm', 'L/min', 1, 28.316846592],
    // Scales with a zero of their own
    ['degF', 'Cel', 32, 0],
    ['degF', 'Cel', 212, 100],
    ['degF', 'Cel', 78, 25.555555556],
    ['Cel', 'degF', 0, 32],
    ['K', 'Cel', 300, 26.85],
    // UCUM: a year of 365.25 days
    ['a', 'd', 2, 730.5],
    ['h', 'ms', 1, 3_600_000],
    ['ppm', 'mg/L', 4.5, 4.5],
    ['ug/L', 'mg/L', 4500.3, 4.5003],
    ['mS/cm', 'uS/cm', 1.3, 1300],
    ['%', '1', 36, 0.36],
    ['h-1', '/h', 1, 1],
    ['umol/m2/s', 'umol/(m2.s)', 3, 3],
    ['mg{N}/L', 'mg/L', 3, 3],
    // A degree inside a composed unit is a step, whatever the zero of its scale
    ['W/(m2.Cel)', 'W/(m2.K)', 4, 4],
    ['1', '[pH]', 7, 7],
  ])('%s to %s: %d is %d', (from, to, value, result) => {
    expect(converter(from, to)(value)).toBe(result)
  })

  it('gives back the very same function, so that no reading pays for the library', () => {
    expect(converter('degF', 'Cel')).toBe(converter('degF', 'Cel'))
  })

  it('refuses another dimension and says what would be right', () => {
    const fault = faultOf(() => converter('mg/L', 'Cel'))
    expect(fault.code).toBe('BW_UNIT')
    expect(fault.message).toBe('mg/L cannot be converted to Cel')
    expect(fault.hint).toContain('Cel')
  })

  it('calls a bare number by its name', () => {
    expect(faultOf(() => measureIn({ value: 4.5, unit: '1' }, 'mg/L')).message).toContain('bare number')
  })

  it('refuses what is no straight line', () => {
    expect(faultOf(() => converter('[pH]', 'mol/L')).message).toContain('logarithmic')
  })

  it('does not mistake a metre for a minute', () => {
    expect(faultOf(() => converter('m', 'ms')).message).toBe('m cannot be converted to ms')
  })
})

describe('differences and rates', () => {
  it('take no zero along', () => {
    expect(differenceConverter('degF', 'Cel')(1.8)).toBe(1)
    expect(differenceConverter('K', 'Cel')(2)).toBe(2)
    expect(differenceIn(parseMeasure('0.4 mg/L'), 'mg/L')).toBe(0.4)
  })

  it.each([
    ['0.05 mg/L/min', 'mg/L', 0.05],
    ['3 mg/L/h', 'mg/L', 0.05],
    ['3 mg/(L.h)', 'mg/L', 0.05],
    ['60 K/h', 'Cel', 1],
    ['108 degF/h', 'Cel', 1],
    ['60 Cel/h', 'Cel', 1],
    ['60 %/h', '%', 1],
    ['6 /h', '[pH]', 0.1],
    ['6 h-1', '[pH]', 0.1],
    ['6 pH/h', '[pH]', 0.1],
    ['60 L/min/h', 'L/min', 1],
    ['60 cm/h', 'cm', 1],
  ])('%s of %s is %d a minute', (text, unit, perMinute) => {
    expect(perMinuteIn(parseMeasure(text), unit)).toBe(perMinute)
  })

  it.each([
    ['mg/L', 'mg/L'],
    ['L/min', 'L/min'],
    ['Cel', 'Cel'],
  ])('%s is no change of %s', (rate, unit) => {
    expect(faultOf(() => ratePerMinute(rate, unit)).message).toContain('no change of')
  })

  it('say when a rate is bare', () => {
    expect(faultOf(() => ratePerMinute('1', 'mg/L')).message).toContain('bare number')
  })
})

describe('unitCode', () => {
  it('leaves UCUM alone and turns everyday words into it', () => {
    expect(unitCode('mg/L')).toBe('mg/L')
    expect(unitCode('lb/ft3')).toBe('[lb_av]/[ft_i]3')
    expect(unitCode('mg / L')).toBe('mg/L')
    expect(unitCode('m[H2O]')).toBe('m[H2O]')
  })
})
