import { readdirSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { describe, expect, it } from 'vitest'
import { expected, fits, played, readScenario } from './play.js'

const files = readdirSync(fileURLToPath(new URL('.', import.meta.url)))
  .filter((file) => file.endsWith('.yaml'))
  .sort()

describe('scenarios: what a keeper would see, rule by rule', () => {
  it('there are some', () => expect(files.length).toBeGreaterThan(0))

  for (const file of files) {
    const scenario = readScenario(file)
    it(`${scenario.rule}: ${scenario.says}`, () => {
      const told = played(scenario)
      const wanted = expected(scenario)
      let from = 0
      const matched = new Set<number>()
      for (const line of wanted) {
        const at = told.findIndex((one, index) => index >= from && fits(one, line))
        const nearby = told
          .filter((one) => one['event'] === line['event'])
          .map((one) => JSON.stringify(one))
          .join('\n')
        expect(
          at,
          `not told (in this order): ${JSON.stringify(line)}\namong:\n${nearby}`,
        ).toBeGreaterThanOrEqual(0)
        matched.add(at)
        from = at + 1
      }
      for (const kind of scenario.only ?? []) {
        const others = told.filter((one, index) => one['event'] === kind && !matched.has(index))
        expect(others, `more ${kind} lines than expected`).toEqual([])
      }
      for (const line of scenario.never ?? []) {
        expect(
          told.filter((one) => fits(one, line)),
          `must not be told: ${JSON.stringify(line)}`,
        ).toEqual([])
      }
      // The same script tells the same lines, to the byte.
      expect(played(scenario)).toEqual(told)
    })
  }
})
