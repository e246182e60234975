import { describe, expect, it } from 'vitest'
import { builtInAlarms as inSettings } from '../../daemon/alarms/settings.js'
import { builtInIds } from '../../daemon/farm/built-in.js'
import { alarmOf, planOf, planned } from './plan-of.js'

const tank = (more: string): string => `
farm: { name: Larkfield }
places:
  - id: tank-1
    kind: tank
    ${more}
`
const fish = (more = ''): string => `fish: { species: nile_tilapia, count: 40, mean_mass: 200 g${more} }`

describe('alarms that come with the farm', () => {
  it('the closed list is the one that settings know', () => {
    expect([...builtInIds].sort()).toEqual([...inSettings].sort())
  })

  it('a tank without fish, or with none left, brings no alarms of fish', () => {
    expect([...planOf(tank('volume: 2 m3')).alarms.keys()]).toEqual(['equipment-fault@tank-1'])
    const empty = tank('fish: { species: nile_tilapia, count: 0, mean_mass: 200 g }')
    expect([...planOf(empty).alarms.keys()]).toEqual(['equipment-fault@tank-1'])
  })

  it('without the volume there are no oxygen minutes, and that is remarked', () => {
    const { plan, notes } = planned(tank(fish()))
    expect(plan.alarms.has('oxygen-minutes-low@tank-1')).toBe(false)
    expect(notes.join()).toContain('tank-1 has fish but no volume')
    expect(planOf(tank(`volume: 2 m3\n    ${fish()}`)).alarms.has('oxygen-minutes-low@tank-1')).toBe(true)
  })

  it('species limits become alarm limits', () => {
    const plan = planOf(tank(fish()))
    const limit = (id: string) => alarmOf(plan, `${id}@tank-1`).condition
    expect(limit('oxygen-low')).toMatchObject({ kind: 'below', limit: 4 })
    expect(limit('oxygen-very-low')).toMatchObject({ kind: 'below', limit: 3 })
    expect(limit('temperature-low')).toMatchObject({ kind: 'below', limit: 17 })
    expect(limit('ammonia-high')).toMatchObject({ signal: 'tank-1/unionised_ammonia_nitrogen', limit: 0.041 })
  })

  it('a higher critical oxygen pushes the levels above it up', () => {
    const plan = planOf(tank(fish(', critical_oxygen: 3.8 mg/L')))
    expect(plan.places.get('tank-1')?.fish?.criticalOxygen).toBe(3.8)
    expect(alarmOf(plan, 'oxygen-very-low@tank-1').condition).toMatchObject({ limit: 4.3 })
    expect(alarmOf(plan, 'oxygen-low@tank-1').condition).toMatchObject({ limit: 4.8 })
  })

  it.each([
    ['{ normal: 90 cm, high: 100 cm, pump_dry: 30 cm }', 60, 100, 3.5],
    ['{ pump_dry: 30 cm }', 30, null, 1.5],
    ['{ normal: 90 cm }', 72, null, 4.5],
    ['{ high: 100 cm }', null, 100, 5],
  ])(
    'levels %s ring below %s and above %s cm, with a twentieth of the span as deadband',
    (levels, low, high, deadband) => {
      const plan = planOf(tank(`levels: ${levels}`))
      const condition = (id: string) => plan.alarms.get(`${id}@tank-1`)?.condition ?? null
      if (low === null) expect(condition('level-low')).toBeNull()
      else expect(condition('level-low')).toMatchObject({ kind: 'below', limit: low, deadband })
      if (high === null) expect(condition('level-high')).toBeNull()
      else expect(condition('level-high')).toMatchObject({ kind: 'above', limit: high, deadband })
    },
  )

  it('the heater margin is watched where envelope and rated power are known', () => {
    const house = (power: string): string => `
farm: { name: Larkfield }
places:
  - { id: house, kind: air, envelope: { area: 300 m2, u_value: 4 W/(m2.K) } }
equipment:
  - { id: heater, kind: heater, serves: [house]${power} }
`
    expect(alarmOf(planOf(house(', rated_power: 20 kW')), 'heat-margin-low@house').condition).toMatchObject({
      signal: 'house/heater_margin',
      limit: 0,
      deadband: 1000,
    })
    expect(planOf(house('')).alarms.has('heat-margin-low@house')).toBe(false)
  })

  it('every one tells cause, consequence and response', () => {
    const plan = planOf(tank(`volume: 2 m3\n    levels: { high: 90 cm }\n    ${fish()}`))
    for (const rule of plan.alarms.values()) {
      expect(
        [rule.cause, rule.consequence, rule.response].every((text) => text !== null && text !== ''),
      ).toBe(true)
    }
  })
})
