import { existsSync, readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { oxygenSaturationConcentration } from '../../daemon/chemistry/oxygen-saturation.js'
import { atmospheres, celsius, gramsPerKilogram } from '../../daemon/units/brands.js'

// Real measurements with a saturation column that their authors computed. They are not in the repository: name their
// folder in BELLWATER_SERIES, or lay it as shared/data beside the project.
const beside = new URL('../../../shared/data', import.meta.url).pathname
const folder = process.env['BELLWATER_SERIES'] ?? beside

/** Rows that have all the columns asked for, as numbers. */
function columns(file: string, ...names: readonly string[]): readonly (readonly number[])[] {
  const [head = '', ...lines] = readFileSync(`${folder}/${file}`, 'utf8').trim().split('\n')
  const places = names.map((name) => head.split(',').indexOf(name))
  expect(places, `${file} has no column of ${names.join(', ')}`).not.toContain(-1)
  const rows = lines.map((line) => line.split(',')).map((cells) => places.map((place) => cells[place] ?? ''))
  return rows.filter((row) => !row.includes('')).map((row) => row.map(Number))
}

/** Author's saturation minus ours, in mg/L, at a pressure in hPa. */
function difference(temperature: number, author: number, pressure: number): number {
  const ours = oxygenSaturationConcentration({
    temperature: celsius(temperature),
    salinity: gramsPerKilogram(0),
    pressure: atmospheres(pressure / 1013.25),
  })
  return author - (ours ?? expect.fail(`no saturation at ${temperature} degC`))
}

const largest = (values: readonly number[]): number => Math.max(...values.map(Math.abs))
const mean = (values: readonly number[]): number => values.reduce((sum, one) => sum + one, 0) / values.length

if (existsSync(folder)) {
  describe('oxygen saturation against series whose authors computed it', () => {
    it('Brandywine 2012 (CC0, streamMetabolizer): every row within 0.00015 mg/L at the implied pressure', () => {
      const rows = columns(
        'brandywine_2012.csv',
        'water_temp_c',
        'do_sat_author_mg_l',
        'pressure_implied_hpa',
      )
      const off = rows.map(([temperature = NaN, author = NaN, pressure = NaN]) =>
        difference(temperature, author, pressure),
      )
      expect(off).toHaveLength(2927)
      expect(largest(off)).toBeLessThan(0.000_15)
    })

    it('Brandywine 2012 without the pressure: off by 0.132 mg/L in the mean, 0.27 at most', () => {
      const rows = columns('brandywine_2012.csv', 'water_temp_c', 'do_sat_author_mg_l')
      const off = rows.map(([temperature = NaN, author = NaN]) => difference(temperature, author, 1013.25))
      expect(mean(off)).toBeCloseTo(-0.1321, 3)
      expect(largest(off)).toBeCloseTo(0.2699, 3)
    })

    it('French Creek 2012 (CC0, streamMetabolizer) at 3050 m, 523 mmHg: within 0.0034 mg/L, mean -0.0031', () => {
      const rows = columns('french_creek_2012.csv', 'water_temp_c', 'do_sat_author_mg_l')
      const off = rows.map(([temperature = NaN, author = NaN]) => difference(temperature, author, 697.28))
      expect(off).toHaveLength(17)
      expect(largest(off)).toBeLessThan(0.0034)
      expect(mean(off)).toBeCloseTo(-0.0031, 4)
    })
  })
} else {
  it('NOT RUN: the real series are not here (BELLWATER_SERIES, or ../shared/data)', () => {
    process.stderr.write(`\nNOT RUN: agreement with real series; there is no ${folder}\n`)
    expect(
      process.env['BELLWATER_SERIES'],
      'BELLWATER_SERIES names a folder that is not there',
    ).toBeUndefined()
  })
}
