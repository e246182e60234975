import { describe, expect, it } from 'vitest'
import { unitCode } from '../../daemon/units/convert.js'
import { quantities } from '../../daemon/units/quantities.js'
import { everydayWords, ucumCode } from '../../daemon/units/unit-words.js'

describe('unit words', () => {
  it.each(everydayWords)('%s stands for a unit of UCUM', (word) => {
    expect(unitCode(word)).toBe(ucumCode(word))
  })

  it('has the everyday spellings that the configuration promises', () => {
    for (const word of ['gal', 'lb', 'ppm', '°F', 'h', 'min', 'degF', 'degC', 'psi', 'inch', 'ft', 'pH']) {
      expect(() => unitCode(word)).not.toThrow()
    }
  })

  it.each(quantities.filter(({ kind }) => kind !== 'words').map(({ name, unit }) => [name, unit]))(
    'the canonical unit of %s is one',
    (_, unit) => {
      expect(unitCode(unit)).toBe(unit)
    },
  )

  it.each([
    ['µS/cm', 'uS/cm'],
    ['m³/h', 'm3/h'],
    ['W/(m²·K)', 'W/(m2.K)'],
    ['kWh/d', 'kW.h/d'],
  ])('%s is %s', (written, code) => {
    expect(ucumCode(written)).toBe(code)
  })
})
