import { describe, expect, it } from 'vitest'
import { humidityIn } from '../../daemon/practice/house.js'
import { depthOf, tankIds, tanks, waterIds } from '../../daemon/practice/larkfield.js'
import { quietOrders } from '../../daemon/practice/mishaps.js'
import type { PlantState } from '../../daemon/practice/plant-state.js'
import { step } from '../../daemon/practice/plant.js'
import { oxygenOf, phOf, temperatureOf } from '../../daemon/practice/water.js'
import { epochMs, hours, minutes } from '../../daemon/units/time.js'
import { balancedPlant, inputs, live, summerNoon, winterNight } from './quiet.js'

const noMains = { machines: { ...quietOrders.machines, mains: false } }

/** Minutes until `holds`, in steps of 5 s; three hours at the most. */
function minutesUntil(from: PlantState, orders: object, holds: (state: PlantState) => boolean): number {
  let state = from
  for (let passed = 0; passed < 3 * 3600; passed += 5) {
    if (holds(state)) return passed / 60
    state = step(state, inputs(orders), 5)
  }
  return Infinity
}

describe('a quiet farm', () => {
  it.each([
    ['winter', winterNight],
    ['summer', summerNoon],
  ])('in %s stays within what fish, bacteria and crop bear for two days', (_season, start) => {
    let state = balancedPlant(start)
    for (let hour = 0; hour < 48; hour++) {
      state = live(state, hours(1))
      for (const tank of tankIds) {
        expect(oxygenOf(state.water[tank])).toBeGreaterThan(5.2)
        expect(oxygenOf(state.water[tank])).toBeLessThan(7.8)
        expect(temperatureOf(state.water[tank])).toBeGreaterThan(26)
        expect(temperatureOf(state.water[tank])).toBeLessThan(29)
        expect(phOf(state.water[tank])).toBeGreaterThan(6.8)
        expect(phOf(state.water[tank])).toBeLessThan(7.8)
        expect(state.water[tank].ammonia / state.water[tank].volume).toBeLessThan(3)
        expect(state.water[tank].nitrite / state.water[tank].volume).toBeLessThan(1)
      }
      expect(humidityIn(state.house)).toBeGreaterThan(30)
      expect(state.house.temperature).toBeGreaterThan(12)
      expect(state.house.temperature).toBeLessThan(32)
    }
  })

  it('breathes harder after a meal than before it', () => {
    const before = balancedPlant(epochMs(winterNight + hours(7.9)))
    const after = live(before, hours(1.5))
    for (const tank of tankIds)
      expect(oxygenOf(after.water[tank])).toBeLessThan(oxygenOf(before.water[tank]) - 0.2)
  })
})

describe('when the air stops', () => {
  it.each([
    ['deep in a winter night', winterNight, 2],
    ['after the evening meal in summer', summerNoon, 6],
  ])(
    'oxygen falls to 2 mg/L in 20 to 45 min at 20 to 28 kg/m3, %s, and is back soon after',
    (_when, day, hour) => {
      const before = balancedPlant(epochMs(day + hours(hour)))
      const falls = tankIds.map((tank) =>
        minutesUntil(before, noMains, ({ water }) => oxygenOf(water[tank]) <= 2),
      )
      for (const fall of falls) {
        expect(fall).toBeGreaterThan(19.5)
        expect(fall).toBeLessThan(46)
      }
      const low = live(before, minutes(Math.min(...falls)), noMains)
      for (const tank of tankIds) {
        const recovery = minutesUntil(low, {}, ({ water }) => oxygenOf(water[tank]) >= 5)
        expect(recovery).toBeGreaterThan(3)
        expect(recovery).toBeLessThan(20)
      }
    },
  )

  it('the most crowded tank suffocates first', () => {
    const crowding = tankIds.map(
      (tank) => (tanks[tank].fishCount * tanks[tank].fishMass) / 1000 / tanks[tank].volume,
    )
    expect(Math.max(...crowding)).toBe(crowding[2])
    for (const kilogramsPerCubicMetre of crowding) {
      expect(kilogramsPerCubicMetre).toBeGreaterThan(20)
      expect(kilogramsPerCubicMetre).toBeLessThan(30)
    }
    const after = live(balancedPlant(winterNight), minutes(20), noMains)
    expect(oxygenOf(after.water['tank-3'])).toBeLessThan(oxygenOf(after.water['tank-1']))
  })

  it('an open line starves only the tanks of its own blower', () => {
    const before = balancedPlant(winterNight)
    const machines = { ...quietOrders.machines, openLine: { 'blower-a': 0, 'blower-b': 1 } }
    const after = live(before, minutes(15), { machines })
    expect(oxygenOf(after.water['tank-3'])).toBeLessThan(oxygenOf(before.water['tank-3']) - 1)
    expect(oxygenOf(after.water['tank-1'])).toBeGreaterThan(oxygenOf(before.water['tank-1']) - 0.3)
  })
})

describe('when the pump stops', () => {
  const machines = { ...quietOrders.machines, stopped: new Set(['main-pump'] as const) }
  const before = balancedPlant(winterNight)
  const after = live(before, minutes(30), { machines })

  it('tanks drain to their rims and the sump rises by as much', () => {
    for (const tank of tankIds) {
      expect(
        depthOf(tank, before.water[tank].volume) - depthOf(tank, after.water[tank].volume),
      ).toBeGreaterThan(0.3)
    }
    expect(
      depthOf('sump', after.water.sump.volume) - depthOf('sump', before.water.sump.volume),
    ).toBeGreaterThan(5)
  })

  it('the biofilter loses its oxygen and ammonia gathers in the tanks', () => {
    expect(oxygenOf(after.water.biofilter)).toBeLessThan(0.5 * oxygenOf(before.water.biofilter))
    const ammonia = (state: PlantState): number =>
      state.water['tank-3'].ammonia / state.water['tank-3'].volume
    expect(ammonia(after)).toBeGreaterThan(ammonia(before) + 0.05)
  })

  it('everything finds its level again afterwards', () => {
    const later = live(after, hours(1))
    for (const id of waterIds) {
      expect(
        Math.abs(depthOf(id, later.water[id].volume) - depthOf(id, before.water[id].volume)),
      ).toBeLessThan(1)
    }
  })
})

describe('when it gets cold', () => {
  it('without the heater the house follows the night within hours, the water loses a degree or two', () => {
    const before = balancedPlant(winterNight)
    const orders = {
      machines: { ...quietOrders.machines, stopped: new Set(['heater'] as const) },
      sky: { shift: -8, clearing: 1 },
    }
    const after = live(before, hours(6), orders)
    expect(after.outdoors.temperature).toBeLessThan(before.outdoors.temperature - 5)
    expect(after.house.temperature).toBeLessThan(before.house.temperature - 8)
    const lost = temperatureOf(before.water['tank-1']) - temperatureOf(after.water['tank-1'])
    expect(lost).toBeGreaterThan(0.5)
    expect(lost).toBeLessThan(4)
  })

  it('the heater holds 14 degrees in the house on an ordinary winter night', () => {
    const after = live(balancedPlant(winterNight), hours(6))
    expect(Math.abs(after.house.temperature - 14)).toBeLessThan(1)
  })
})

it('too much feed rots: oxygen sinks, ammonia rises', () => {
  const before = balancedPlant(winterNight)
  const twoDaysAtOnce = { ...quietOrders.extraFeed, 'tank-2': 2 * 96 }
  const fed = live(before, minutes(15), { extraFeed: twoDaysAtOnce })
  expect(fed.stock['tank-2'].leftOver).toBeGreaterThan(200)
  const [plain, over] = [live(before, hours(6)), live(fed, hours(5.75))]
  expect(oxygenOf(over.water['tank-2'])).toBeLessThan(oxygenOf(plain.water['tank-2']) - 0.8)
  expect(over.water['tank-2'].ammonia).toBeGreaterThan(1.3 * plain.water['tank-2'].ammonia)
})

it('a leak empties the sump until the pump runs dry and the tanks stand still', () => {
  const after = live(balancedPlant(winterNight), hours(2), { leaks: { sump: 40 } })
  expect(depthOf('sump', after.water.sump.volume)).toBeLessThan(15)
  expect(after.ledger.waterLeaked).toBeGreaterThan(1)
})
