import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { houseFigures, waterIds } from '../../daemon/practice/larkfield.js'
import type { PlantState } from '../../daemon/practice/plant-state.js'
import { drawMishap, everyKind } from '../../daemon/practice/random-night.js'
import { nitrogenIn, type Water } from '../../daemon/practice/water.js'
import { epochMs, hours } from '../../daemon/units/time.js'
import { balancedPlant, liveWith, summerNoon, winterNight } from './quiet.js'

/** Up to four mishaps of any kind within the night that begins at `at`. */
const mishaps = (at: number) =>
  fc
    .array(
      fc.tuple(
        fc.constantFrom(...everyKind),
        fc.array(fc.double({ min: 0, max: 0.999, noNaN: true }), { minLength: 6, maxLength: 6 }),
      ),
      {
        maxLength: 4,
      },
    )
    .map((drawn) =>
      drawn.map(([kind, numbers]) => {
        let next = 0
        return drawMishap(
          kind,
          { at: epochMs(at), length: hours(5) },
          () => numbers[next++ % numbers.length] ?? 0,
        )
      }),
    )

const nights = fc
  .constantFrom(winterNight, summerNoon)
  .chain((at) => fc.record({ at: fc.constant(at), mishaps: mishaps(at) }))

const starts = new Map([winterNight, summerNoon].map((at) => [at, balancedPlant(at)]))

const total = (state: PlantState, part: (water: Water) => number): number =>
  waterIds.reduce((sum, id) => sum + part(state.water[id]), 0)

const change = (before: PlantState, after: PlantState, part: (water: Water) => number): number =>
  total(after, part) - total(before, part)

/** What the ledger's entries rose by. */
const rose = (before: PlantState, after: PlantState) => (entry: keyof PlantState['ledger']) =>
  after.ledger[entry] - before.ledger[entry]

describe('whatever goes wrong in five hours', () => {
  const run = (check: (before: PlantState, after: PlantState) => void): void =>
    fc.assert(
      fc.property(nights, ({ at, mishaps: list }) => {
        const before = starts.get(at)
        if (before === undefined) return
        check(before, liveWith(before, hours(5), list))
      }),
      { numRuns: 12 },
    )

  it('the balances close: nitrogen, oxygen, water, heat', () => {
    run((before, after) => {
      const risen = rose(before, after)
      expect(change(before, after, nitrogenIn)).toBeCloseTo(
        risen('nitrogenReleased') - risen('nitrogenTakenUp') - risen('nitrogenLeaked'),
        6,
      )
      expect(change(before, after, ({ oxygen }) => oxygen)).toBeCloseTo(
        risen('oxygenFromAir') +
          risen('oxygenWithTopUp') -
          risen('oxygenBreathed') -
          risen('oxygenRotted') -
          risen('oxygenNitrified') -
          risen('oxygenLeaked'),
        6,
      )
      const vapour = (after.house.vapour - before.house.vapour) / 1000
      expect(change(before, after, ({ volume }) => volume) + vapour).toBeCloseTo(
        risen('waterToppedUp') - risen('waterLeaked') - risen('waterVentilated') - risen('waterCondensed'),
        9,
      )
      const air = (after.house.temperature - before.house.temperature) * houseFigures.heatCapacity
      expect(change(before, after, ({ heat }) => heat) + air).toBeCloseTo(
        risen('heatFromHeater') +
          risen('heatFromSun') +
          risen('heatWithTopUp') -
          risen('heatThroughCover') -
          risen('heatIntoVapour') -
          risen('heatLeaked'),
        3,
      )
    })
  })

  it('nothing is negative, infinite or not a number', () => {
    run((_before, after) => {
      for (const id of waterIds) {
        for (const [part, amount] of Object.entries(after.water[id])) {
          expect(Number.isFinite(amount), `${id} ${part}`).toBe(true)
          if (part !== 'heat') expect(amount, `${id} ${part}`).toBeGreaterThanOrEqual(0)
        }
      }
      for (const stock of Object.values(after.stock)) {
        for (const amount of Object.values(stock)) expect(amount).toBeGreaterThanOrEqual(0)
      }
      expect(after.house.vapour).toBeGreaterThan(0)
      expect(after.machines.battery).toBeGreaterThanOrEqual(0)
    })
  })
})
