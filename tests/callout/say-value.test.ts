import { describe, expect, it } from 'vitest'
import { sayAgainst, sayNumber, withUnit, type Scale } from '../../daemon/callout/say-value.js'

const metric = (quantity: string, unit: string): Scale => ({
  quantity,
  unit,
  system: 'metric',
  decimalMark: '.',
})
const us = (quantity: string, unit: string): Scale => ({ ...metric(quantity, unit), system: 'us' })
const say = (value: number, scale: Scale): string => withUnit(sayNumber(value, scale))

describe('values in the farm’s units', () => {
  it.each([
    [3.84, metric('dissolved_oxygen', 'mg/L'), '3.8 mg/L'],
    [21.37, metric('water_temperature', 'Cel'), '21.4 C'],
    [21.37, us('water_temperature', 'Cel'), '70.5 F'],
    [6.44, metric('ph', '[pH]'), '6.4'],
    [88.2, metric('relative_humidity', '%'), '88%'],
    [25.4, us('water_level', 'cm'), '10.0 in'],
    [90, us('flow', 'L/min'), '23.8 gal/min'],
    [90, metric('flow', 'L/min'), '90 L/min'],
    [18, us('air_pressure', 'kPa'), '2.61 psi'],
    [101.325, us('barometric_pressure', 'kPa'), '29.92 inHg'],
    [1.2, us('vapour_pressure_deficit', 'kPa'), '1.20 kPa'],
    [420, metric('photon_flux', 'umol/(m2.s)'), '420 umol/m2/s'],
    [-0.02, metric('air_temperature', 'Cel'), '0.0 C'],
    [0.02, metric('dissolved_oxygen', 'mg/L/min'), '0.020 mg/L/min'],
    [0.5, us('air_temperature', 'Cel/min'), '0.900 F/min'],
    [1.5e9, metric('conductivity', 'uS/cm'), '1500000000 uS/cm'],
    [Number.NaN, metric('flow', 'L/min'), '? L/min'],
    [7.25, metric('redox_of_the_farm', 'mV'), '7.3 mV'],
  ])('%d of %o is %s', (value, scale, says) => {
    expect(say(value, scale)).toBe(says)
  })
  it('has the steam and freezing points where Fahrenheit has them (NIST SP 811, B.8)', () => {
    expect(say(0, us('air_temperature', 'Cel'))).toBe('32.0 F')
    expect(say(100, us('air_temperature', 'Cel'))).toBe('212.0 F')
  })
  it('takes the decimal mark of the language', () => {
    expect(say(3.8, { ...metric('dissolved_oxygen', 'mg/L'), decimalMark: ',' })).toBe('3,8 mg/L')
  })
})

describe('a value beside its limit', () => {
  const oxygen = metric('dissolved_oxygen', 'mg/L')
  it('gets more decimals until the two differ', () => {
    const near = sayAgainst(4.4996, 4.5, oxygen)
    expect([near.value.number, near.limit.number]).toEqual(['4.4996', '4.5000'])
  })
  it('writes the limit as precisely as it was set', () => {
    expect(sayAgainst(6.1, 6.25, metric('ph', '[pH]')).limit.number).toBe('6.25')
    expect(sayAgainst(3.8, 4.5, oxygen).limit.number).toBe('4.5')
  })
  it('does not go on for ever over two that are the same', () => {
    expect(sayAgainst(4.5, 4.5, oxygen).value.number).toBe('4.5')
  })
})
