import { describe, expect, it } from 'vitest'
import { causesIn, planOf } from './plan-of.js'

const farm = (equipment: string, rest = ''): string => `
farm: { name: Larkfield }
places:
  - id: tank-1
    kind: tank
    volume: 2 m3
    levels: { normal: 90 cm, high: 100 cm, pump_dry: 30 cm }
    fish: { species: nile_tilapia, count: 40, mean_mass: 200 g }
  - { id: loop, kind: pipe_run }
equipment:
${equipment}
${rest}`

const mains = '  - { id: mains, kind: mains_supply, evidence: { present: mains/present } }'
const blower = '  - { id: blower-a, kind: blower, serves: [tank-1], evidence: { current: blower-a/current } }'
const ups = '  - { id: ups, kind: battery_supply, serves: [blower-a], evidence: { charge: ups/charge } }'
const pump = '  - { id: main-pump, kind: pump, serves: [loop, heater], evidence: { flow: loop/flow } }'
const heater = '  - { id: heater, kind: heater, serves: [tank-1], evidence: { current: heater/current } }'

describe('what may be the cause of what (AL-37, AL-49)', () => {
  it('a mains supply that says nothing serves the farm', () => {
    const plan = planOf(farm([mains, blower].join('\n')))
    expect(plan.equipment.get('mains')).toMatchObject({
      servesFarm: true,
      serves: ['tank-1', 'loop', 'blower-a'],
    })
    expect(causesIn(plan, 'equipment-fault@blower-a')).toEqual(['mains-lost@mains suppressed'])
  })

  it('a blower that a battery carries on is told under the lost mains, not silenced by it', () => {
    const plan = planOf(farm([mains, blower, ups].join('\n')))
    expect(causesIn(plan, 'equipment-fault@blower-a')).toEqual([
      'mains-lost@mains told',
      'equipment-fault@ups told',
    ])
  })

  it('a battery that runs low is news of the outage, whatever feeds it', () => {
    const plan = planOf(farm([mains, blower, ups].join('\n')))
    expect(causesIn(plan, 'battery-low@ups')).toEqual([])
  })

  it('mains lost is critical once the battery is low', () => {
    const plan = planOf(farm([mains, blower, ups].join('\n')))
    expect(plan.alarms.get('mains-lost@mains')).toMatchObject({
      priority: 'high',
      priorityWhile: { of: ['ups'], modes: ['low', 'lost'], priority: 'critical' },
    })
  })

  it('reaches a place through the equipment that serves its equipment', () => {
    const narrow = '  - { id: mains, kind: mains_supply, serves: [main-pump] }'
    const plan = planOf(farm([narrow, pump, heater].join('\n')))
    expect(causesIn(plan, 'temperature-low@tank-1')).toEqual([
      'equipment-fault@heater told',
      'equipment-fault@main-pump told',
      'mains-lost@mains told',
    ])
  })

  it('level and the air of a tank are told as well, water chemistry is not', () => {
    const plan = planOf(farm(blower))
    for (const id of ['level-low', 'oxygen-minutes-low', 'equipment-fault']) {
      expect(causesIn(plan, `${id}@tank-1`)).toEqual(['equipment-fault@blower-a told'])
    }
    for (const id of ['ph-low', 'ammonia-high', 'nitrite-high'])
      expect(causesIn(plan, `${id}@tank-1`)).toEqual([])
  })

  it('an alarm that is turned off explains nothing', () => {
    const plan = planOf(farm([mains, blower].join('\n'), 'alarms: [{ id: mains-lost, off: true }]'))
    expect(causesIn(plan, 'equipment-fault@blower-a')).toEqual([])
    expect(causesIn(plan, 'oxygen-low@tank-1')).toEqual(['equipment-fault@blower-a told'])
  })

  it("a keeper's alarm on a machine's own signal belongs to the machine", () => {
    const alarm = 'alarms: [{ id: draws-nothing, signal: blower-a/current, below: 0.5 A, priority: medium }]'
    const plan = planOf(farm([mains, blower].join('\n'), alarm))
    expect(causesIn(plan, 'draws-nothing@blower-a')).toEqual(['mains-lost@mains suppressed'])
  })

  it('a lost node stands for its probes, and is as loud as the loudest of them', () => {
    const probes = `
probes:
  - { signal: tank-1/dissolved_oxygen, topic: a, via: node-7 }
  - { signal: loop/flow, topic: b, via: node-8 }`
    const plan = planOf(farm(blower, probes))
    expect(causesIn(plan, 'bad-measurement@tank-1/dissolved_oxygen')).toEqual(['node-lost@node-7 suppressed'])
    expect(plan.alarms.get('node-lost@node-7')?.priority).toBe('high')
    expect(plan.alarms.get('node-lost@node-8')?.priority).toBe('medium')
  })

  it('bears supplies that feed one another in a circle', () => {
    const circle = [
      '  - { id: mains, kind: mains_supply, serves: [ups] }',
      '  - { id: ups, kind: battery_supply, serves: [mains, blower-a] }',
      blower,
    ].join('\n')
    expect(causesIn(planOf(farm(circle)), 'oxygen-low@tank-1')).toEqual([
      'equipment-fault@blower-a told',
      'equipment-fault@ups told',
      'mains-lost@mains told',
    ])
  })
})
