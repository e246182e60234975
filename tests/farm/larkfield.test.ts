import { describe, expect, it } from 'vitest'
import { badMeasurementRule } from '../../daemon/farm/on-demand.js'
import { species } from '../../daemon/farm/species.js'
import { signalName } from '../../daemon/readings/signal.js'
import { hours, minutes, seconds } from '../../daemon/units/time.js'
import { alarmOf, causesIn, fixture, planned } from './plan-of.js'

const { plan, notes } = planned(fixture('configs/larkfield.yaml'))

describe('the farm of the examples', () => {
  it('has exactly these alarms', () => {
    expect([...plan.alarms.keys()].sort()).toEqual(
      [
        // of the fish in tank 1
        'oxygen-low@tank-1',
        'oxygen-very-low@tank-1',
        'oxygen-minutes-low@tank-1',
        'temperature-low@tank-1',
        'temperature-high@tank-1',
        'ph-low@tank-1',
        'ph-high@tank-1',
        'ammonia-high@tank-1',
        'nitrite-high@tank-1',
        // the keeper's, wherever its glob reaches: tanks without fish as well
        'oxygen-low@tank-2',
        'oxygen-low@tank-3',
        // verdicts
        'equipment-fault@tank-1',
        'equipment-fault@tank-2',
        'equipment-fault@tank-3',
        'equipment-fault@loop',
        'equipment-fault@biofilter',
        'equipment-fault@blower-a',
        'equipment-fault@main-pump',
        'equipment-fault@mains',
        'mains-lost@mains',
        // probes that are declared one by one
        'bad-measurement@tank-1/dissolved_oxygen',
        'bad-measurement@tank-3/water_temperature',
      ].sort(),
    )
    expect(notes).toEqual([])
  })

  it("puts the keeper's oxygen-low in place of the built-in one", () => {
    expect(alarmOf(plan, 'oxygen-low@tank-1')).toMatchObject({
      condition: { kind: 'below', signal: 'tank-1/dissolved_oxygen', limit: 4.5, deadband: 0.4 },
      onDelay: minutes(2),
      offDelay: minutes(3),
      priority: 'high',
      priorityFrom: { kind: 'by-hand' },
      ladder: 'night',
      lifeSupport: true,
      response: 'Look at the blowers. Start the spare air pump. Stop feeding.',
      origin: 'farm',
    })
  })

  it('keeps it under the more severe level of the same quantity, where there is one (AL-22)', () => {
    expect(alarmOf(plan, 'oxygen-low@tank-1').lesserOf).toBe('oxygen-very-low@tank-1')
    expect(alarmOf(plan, 'oxygen-low@tank-2').lesserOf).toBeNull()
  })

  it('takes delays, re-alarm and follow-up from the entry, its ladder and AL-8', () => {
    expect(alarmOf(plan, 'oxygen-low@tank-1')).toMatchObject({
      reAlarm: minutes(30),
      followUpDelay: seconds(60),
      latching: false,
      releaseDelay: 0,
    })
  })

  it('lets mains alone speak for the machines that it feeds, and never silences oxygen (AL-37)', () => {
    expect(causesIn(plan, 'equipment-fault@blower-a')).toEqual(['mains-lost@mains suppressed'])
    expect(causesIn(plan, 'equipment-fault@main-pump')).toEqual(['mains-lost@mains suppressed'])
    expect(causesIn(plan, 'oxygen-low@tank-1')).toEqual([
      'equipment-fault@blower-a told',
      'mains-lost@mains told',
    ])
    expect(causesIn(plan, 'oxygen-low@tank-3')).toEqual(['mains-lost@mains told'])
    expect(causesIn(plan, 'mains-lost@mains')).toEqual([])
    expect(causesIn(plan, 'ph-low@tank-1')).toEqual([])
  })

  it('has the priorities of contract 11', () => {
    const priorities = (id: string) => alarmOf(plan, id).priority
    expect(priorities('oxygen-very-low@tank-1')).toBe('critical')
    expect(priorities('oxygen-minutes-low@tank-1')).toBe('critical')
    expect(priorities('mains-lost@mains')).toBe('high')
    expect(priorities('temperature-high@tank-1')).toBe('high')
    expect(priorities('ph-high@tank-1')).toBe('low')
    expect(priorities('bad-measurement@tank-1/dissolved_oxygen')).toBe('high')
    expect(priorities('bad-measurement@tank-3/water_temperature')).toBe('medium')
    expect(alarmOf(plan, 'equipment-fault@blower-a')).toMatchObject({
      priority: 'high',
      priorityByMode: { weak: 'low', clogged: 'low' },
    })
    expect(alarmOf(plan, 'equipment-fault@tank-1')).toMatchObject({
      priority: 'critical',
      priorityByMode: { leak: 'high' },
    })
  })

  it('counts oxygen, blowers and mains as life support without being told (AL-52)', () => {
    const lifeSupport = [...plan.alarms.values()].filter((rule) => rule.lifeSupport).map((rule) => rule.id)
    expect(lifeSupport.sort()).toEqual([
      'equipment-fault@blower-a',
      'equipment-fault@mains',
      'equipment-fault@tank-1',
      'mains-lost@mains',
      'oxygen-low@tank-1',
      'oxygen-low@tank-2',
      'oxygen-low@tank-3',
      'oxygen-minutes-low@tank-1',
      'oxygen-very-low@tank-1',
    ])
  })

  it('listens to what probes, equipment and computations bring', () => {
    const heard = [...plan.signals.values()].map(({ signal, origin, staleTime }) => [
      signal,
      origin,
      staleTime,
    ])
    expect(heard).toEqual([
      // three times 30 s would be 90 s: never under two minutes
      ['tank-1/dissolved_oxygen', 'probe', minutes(2)],
      ['tank-3/water_temperature', 'probe', minutes(3)],
      ['blower-a/current', 'evidence', minutes(3)],
      ['blower-a/air_pressure', 'evidence', minutes(3)],
      ['main-pump/current', 'evidence', minutes(3)],
      ['loop/flow', 'evidence', minutes(3)],
      ['mains/present', 'evidence', minutes(3)],
      ['tank-1/oxygen_saturation', 'computed', null],
      ['tank-1/unionised_ammonia_nitrogen', 'computed', null],
      ['tank-1/oxygen_demand', 'computed', null],
      ['tank-1/oxygen_minutes_if_air_stops', 'computed', null],
      ['tank-1/oxygen_minutes_on_trend', 'computed', null],
      ['tank-1/ph_where_ammonia_harms', 'computed', null],
      ['tank-1/ammonia_load', 'computed', null],
      ['biofilter/nitrification_capacity', 'computed', null],
      ['biofilter/ammonia_load', 'computed', null],
      ['biofilter/alkalinity_consumption', 'computed', null],
      ['biofilter/nitrate_gain', 'computed', null],
    ])
    expect(plan.signals.get(signalName('tank-1', 'dissolved_oxygen'))?.plausible).toEqual([0, 25])
  })

  it('converts everything to canonical units', () => {
    expect(plan.places.get('tank-1')?.fish).toEqual({
      species: species.get('nile_tilapia'),
      count: 160,
      meanMass: 0.24,
      feedPerDay: 0.9,
      feedProtein: 0.36,
      criticalOxygen: 2,
    })
    expect(plan.places.get('biofilter')?.media).toEqual({ volumeL: 120, specificSurface: 500 })
    expect(plan.equipment.get('blower-a')?.normal).toEqual({ current: [1.8, 2.6], pressure: [14, 22] })
  })

  it('knows people, roster, ladder and switches', () => {
    expect([...plan.people.keys()]).toEqual(['first-keeper', 'second-keeper'])
    expect(plan.roster[0]).toEqual({ from: 20 * 60, to: 4 * 24 * 60 + 8 * 60, who: ['first-keeper'] })
    expect(plan.ladders.get('night')?.steps.at(-1)).toEqual({
      kind: 'switch-on',
      after: minutes(15),
      channel: 'siren',
    })
    expect(plan.switches).toEqual(['siren'])
    expect(plan.rules.shelving).toEqual({ maximum: hours(4), lifeSupportMaximum: minutes(60) })
  })

  it('makes a bad-measurement alarm for what the pattern delivers, once it has', () => {
    const pressure = signalName('blower-a', 'air_pressure')
    expect(plan.alarms.has(`bad-measurement@${pressure}`)).toBe(false)
    expect(badMeasurementRule(plan, pressure)).toMatchObject({
      id: 'bad-measurement@blower-a/air_pressure',
      priority: 'medium',
      place: 'blower-a',
      ladder: 'night',
      reAlarm: minutes(30),
    })
  })
})
