import { describe, expect, it } from 'vitest'
import { priorityFor } from '../../daemon/farm/priority.js'
import { minutes, seconds } from '../../daemon/units/time.js'
import { alarmOf, planned, planOf, problemsOf } from './plan-of.js'

const farm = (alarms: string, rest = ''): string => `
farm: { name: Larkfield }
places:
  - id: tank-1
    kind: tank
    fish: { species: nile_tilapia, count: 40, mean_mass: 200 g }
  - id: tank-2
    kind: tank
    fish: { species: rainbow_trout, count: 40, mean_mass: 200 g }
  - { id: sump, kind: sump }
  - { id: house, kind: air }
equipment:
  - { id: blower-a, kind: blower, serves: [tank-1] }
ladders:
  night: { steps: [{ call: everyone, by: [text] }], re_alarm: 20 min }
${rest}
alarms:
${alarms}`

describe('entries of alarms:', () => {
  it('one without a signal changes only what it names of the built-in alarms', () => {
    const plan = planOf(farm('  - { id: temperature-high, above: 84 degF, on_delay: 1 min }'))
    for (const tank of ['tank-1', 'tank-2']) {
      expect(alarmOf(plan, `temperature-high@${tank}`)).toMatchObject({
        condition: { kind: 'above', limit: 28.888888889, deadband: 0.5 },
        onDelay: minutes(1),
        offDelay: minutes(10),
        priority: 'high',
        origin: 'built-in',
      })
    }
  })

  it('one with a signal reaches only so far', () => {
    const plan = planOf(
      farm('  - { id: temperature-high, signal: tank-1/water_temperature, on_delay: 1 min }'),
    )
    expect(alarmOf(plan, 'temperature-high@tank-1').onDelay).toBe(minutes(1))
    expect(alarmOf(plan, 'temperature-high@tank-2').onDelay).toBe(minutes(10))
  })

  it('off removes what it reaches', () => {
    const plan = planOf(
      farm('  - { id: ph-high, off: true }\n  - { id: ph-low, signal: tank-2/ph, off: true }'),
    )
    expect([...plan.alarms.keys()].filter((id) => id.startsWith('ph-'))).toEqual(['ph-low@tank-1'])
  })

  it('one with signal and limit takes the place of the built-in alarm, delays and all', () => {
    const plan = planOf(
      farm('  - { id: temperature-high, signal: "tank-*/water_temperature", above: 30 Cel }'),
    )
    expect(alarmOf(plan, 'temperature-high@tank-2')).toMatchObject({
      condition: { limit: 30, deadband: 0 },
      onDelay: 0,
      priority: 'high',
      priorityFrom: { kind: 'built-in' },
      origin: 'farm',
    })
  })

  it('a deadband of a temperature is a difference', () => {
    const plan = planOf(
      farm(
        '  - { id: warm, signal: tank-1/water_temperature, above: 86 degF, deadband: 0.9 degF, priority: low }',
      ),
    )
    expect(alarmOf(plan, 'warm@tank-1').condition).toMatchObject({ limit: 30, deadband: 0.5 })
  })

  it('a rate is kept per minute, with the way that its sign says', () => {
    const plan = planOf(
      farm(
        '  - { id: falls, signal: tank-1/dissolved_oxygen, rate: { limit: -3 mg/L/h, over: 10 min }, priority: high }',
      ),
    )
    expect(alarmOf(plan, 'falls@tank-1').condition).toEqual({
      kind: 'rate',
      signal: 'tank-1/dissolved_oxygen',
      way: 'falling',
      limit: 0.05,
      deadband: 0,
      over: minutes(10),
    })
  })

  it('two-valued signals take the words of contract 11', () => {
    const is = (word: string) => {
      const plan = planOf(farm(`  - { id: door, signal: house/contact, is: ${word}, priority: low }`))
      return alarmOf(plan, 'door@house').condition
    }
    for (const word of ['1', 'true', '"on"', 'open']) expect(is(word)).toMatchObject({ kind: 'is', value: 1 })
    for (const word of ['0', 'false', '"OFF"', 'closed'])
      expect(is(word)).toMatchObject({ kind: 'is', value: 0 })
  })

  it('a glob over places keeps to where the quantity is usual', () => {
    const plan = planOf(farm('  - { id: sour, signal: "*/ph", below: 6, priority: low }'))
    expect([...plan.alarms.keys()].filter((id) => id.startsWith('sour'))).toEqual([
      'sour@tank-1',
      'sour@tank-2',
      'sour@sump',
    ])
  })

  it('a discrepancy stands at the place of what runs', () => {
    const plan = planOf(
      farm(
        '  - { id: differs, discrepancy: { commanded: blower-a/commanded, running: blower-a/running }, priority: high }',
      ),
    )
    expect(alarmOf(plan, 'differs@blower-a')).toMatchObject({ place: 'blower-a', lifeSupport: true })
  })

  it('names its ladder, or takes the only one and its re-alarm time', () => {
    const plan = planOf(farm('  - { id: sour, signal: sump/ph, below: 6, priority: low, re_alarm: 5 min }'))
    expect(alarmOf(plan, 'sour@sump')).toMatchObject({ ladder: 'night', reAlarm: minutes(5) })
    expect(alarmOf(plan, 'ph-low@tank-1')).toMatchObject({ ladder: 'night', reAlarm: minutes(20) })
  })
})

describe('levels and suppression', () => {
  it('lesser_of means the alarm of that id at the same place', () => {
    const plan = planOf(
      farm(
        '  - { id: cool, signal: "tank-*/water_temperature", below: 22 Cel, lesser_of: temperature-low, priority: low }',
      ),
    )
    expect(alarmOf(plan, 'cool@tank-1').lesserOf).toBe('temperature-low@tank-1')
    expect(alarmOf(plan, 'cool@tank-2').lesserOf).toBe('temperature-low@tank-2')
  })

  it('without its severe level the lesser one stands alone', () => {
    const plan = planOf(farm('  - { id: oxygen-very-low, off: true }'))
    expect(alarmOf(plan, 'oxygen-low@tank-1').lesserOf).toBeNull()
  })

  it('a lesser level that would never be heard is remarked', () => {
    const { notes } = planned(farm('  - { id: oxygen-low, below: 2.5 mg/L }'))
    expect(notes.join()).toContain(
      'oxygen-low@tank-1 (limit 2.5) never comes before oxygen-very-low@tank-1 (limit 3)',
    )
  })

  it('suppression by design finds its alarm by id when there is only one', () => {
    const entry = `  - id: sour
    signal: sump/ph
    below: 6
    priority: low
    suppressed_while: [{ alarm: equipment-fault@blower-a }, { signal: blower-a/commanded, is: off }]
    release_delay: 90 s`
    expect(alarmOf(planOf(farm(entry)), 'sour@sump')).toMatchObject({
      suppressedWhile: [
        { kind: 'alarm', alarm: 'equipment-fault@blower-a' },
        { kind: 'signal', signal: 'blower-a/commanded', is: 0 },
      ],
      releaseDelay: seconds(90),
    })
  })

  it.each([
    ['signal: tank-1/dissolved_oxygen, below: 4 mg/L', '{ alarm: mains-lost }', 'by another alarm'],
    ['signal: tank-1/dissolved_oxygen, below: 4 mg/L', '{ signal: blower-a/commanded, is: 0 }', 'by design'],
    ['signal: sump/water_level, below: 20 cm', '{ alarm: ph-low@tank-1 }', 'by another alarm'],
    ['signal: sump/ph, below: 6, class: life_support', '{ alarm: ph-low@tank-1 }', 'by another alarm'],
  ])('%s is never suppressed while %s (AL-13, AL-37)', (what, suppressor, why) => {
    const [problem] = problemsOf(
      farm(`  - { id: mine, ${what}, priority: high, suppressed_while: [${suppressor}] }`),
    )
    expect(problem?.wrong).toMatch(new RegExp(`^mine@.* may not be suppressed: .*${why}`))
    expect(problem?.path).toEqual(['alarms', 0, 'suppressed_while', 0])
  })

  it('a machine may rest while its timer has it off', () => {
    const entry =
      '  - { id: idle, signal: blower-a/current, below: 1 A, priority: low, suppressed_while: [{ signal: blower-a/commanded, is: 0 }] }'
    expect(alarmOf(planOf(farm(entry)), 'idle@blower-a').suppressedWhile).toHaveLength(1)
  })
})

describe('priority from consequence and time to respond (AL-23)', () => {
  it.each([
    ['severe', 15, 'critical'],
    ['severe', 16, 'high'],
    ['severe', 60, 'high'],
    ['severe', 61, 'medium'],
    ['serious', 15, 'high'],
    ['serious', 60, 'medium'],
    ['serious', 61, 'low'],
    ['minor', 15, 'medium'],
    ['minor', 60, 'low'],
    ['minor', 61, null],
  ] as const)('%s within %d min is %s', (severity, within, priority) => {
    expect(priorityFor(severity, minutes(within))).toBe(priority)
  })

  it('an alert is kept low and remarked', () => {
    const { plan, notes } = planned(
      farm('  - { id: sour, signal: sump/ph, below: 6, severity: minor, respond_within: 1 d }'),
    )
    expect(alarmOf(plan, 'sour@sump').priority).toBe('low')
    expect(notes.join()).toContain('alarm sour is minor with more than an hour to respond: an alert')
  })
})

describe('ladders when nothing is named', () => {
  it('system.ladder decides between several', () => {
    const two = 'system: { ladder: day }'
    const yaml = farm('  - { id: ph-high, off: true }', two).replace(
      'ladders:\n',
      'ladders:\n  day: { steps: [{ call: everyone, by: [email] }] }\n',
    )
    expect(alarmOf(planOf(yaml), 'ph-low@tank-1').ladder).toBe('day')
    const { plan, notes } = planned(yaml.replace(two, ''))
    expect(alarmOf(plan, 'ph-low@tank-1').ladder).toBe('day')
    expect(notes.join()).toContain('alarms that name no ladder take the first, day')
  })

  it('without any nobody is called, and that is remarked', () => {
    const { plan, notes } = planned('farm: { name: Larkfield }\nplaces: [{ id: tank-1, kind: tank }]')
    expect(alarmOf(plan, 'equipment-fault@tank-1').ladder).toBeNull()
    expect(notes.join()).toContain('nobody is called')
  })
})

describe('on a useful farm of under 40 lines', () => {
  const yaml = `farm: { name: Larkfield, time_zone: Europe/London }
places:
  - id: tank-1
    kind: tank
    volume: 2 m3
    fish: { species: nile_tilapia, count: 120, mean_mass: 200 g }
probes:
  - { signal: tank-1/dissolved_oxygen, topic: farm/do, every: 30 s }
  - { signal: tank-1/water_temperature, topic: farm/temperature }
equipment:
  - id: blower
    kind: blower
    serves: tank-1
    evidence: { pressure: blower/air_pressure }
    normal: { pressure: [12 kPa, 20 kPa] }
people:
  - { id: keeper, name: Keeper, reach: { text: "+44 7700 900101" } }
ladders:
  night: { steps: [{ call: everyone, by: text }] }
`
  it('everything that matters by night is there', () => {
    expect(yaml.split('\n').length).toBeLessThan(40)
    const plan = planOf(yaml)
    const loud = [...plan.alarms.values()].filter(
      ({ priority }) => priority === 'critical' || priority === 'high',
    )
    expect(loud.map((rule) => rule.id)).toEqual([
      'oxygen-low@tank-1',
      'oxygen-very-low@tank-1',
      'oxygen-minutes-low@tank-1',
      'temperature-low@tank-1',
      'temperature-high@tank-1',
      'equipment-fault@tank-1',
      'equipment-fault@blower',
      'bad-measurement@tank-1/dissolved_oxygen',
    ])
    expect(loud.every((rule) => rule.ladder === 'night')).toBe(true)
  })

  it('without a roster everyone is on duty all week', () => {
    expect(planOf(yaml).roster).toEqual([{ from: 0, to: 0, who: ['keeper'] }])
  })
})
