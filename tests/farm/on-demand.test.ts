import { describe, expect, it } from 'vitest'
import {
  badMeasurementRule,
  ownTroubleRule,
  probeClockRule,
  signalPlanFor,
} from '../../daemon/farm/on-demand.js'
import { signalName } from '../../daemon/readings/signal.js'
import { minutes, seconds } from '../../daemon/units/time.js'
import { planOf } from './plan-of.js'

const farm = (alarms = ''): string => `
farm: { name: Larkfield }
places:
  - id: tank-1
    kind: tank
    fish: { species: nile_tilapia, count: 40, mean_mass: 200 g }
  - { id: sump, kind: sump }
quantities: [{ name: iron, unit: mg/L }]
equipment: [{ id: blower-a, kind: blower, serves: [tank-1] }]
probes:
  - { signal: sump/ph, topic: farm/ph, bad_measurement: { priority: low, follow_up_delay: 5 min } }
  - { signal: sump/contact, topic: farm/float, reports: on_change }
  - { signal: sump/running, topic: farm/running, reports: on_change, heartbeat: 1 h }
  - { signal: sump/conductivity, topic: farm/ec, bad_measurement: { off: true } }
  - topic: "farm/{place}/oxygen"
    signal: "{place}/dissolved_oxygen"
    plausible: [0 mg/L, 20 mg/L]
    every: 20 s
    via: node-7
system: { follow_up_delay: 2 min }
ladders: { night: { steps: [{ call: everyone, by: [text] }] } }
${alarms}`
const plan = planOf(farm())

describe('signals on demand', () => {
  it('any declared place or equipment with any known quantity is acceptable', () => {
    for (const signal of ['sump/alkalinity', 'blower-a/current', 'tank-1/iron']) {
      expect(signalPlanFor(plan, signal)).toMatchObject({
        signal,
        origin: 'entered',
        every: null,
        staleTime: null,
      })
    }
  })

  it('what a pattern can deliver is listened to as the pattern says', () => {
    expect(signalPlanFor(plan, 'tank-1/dissolved_oxygen')).toMatchObject({
      origin: 'probe',
      every: seconds(20),
      staleTime: minutes(2),
      plausible: [0, 20],
      via: 'node-7',
    })
  })

  it.each([
    ['tnak-1/ph', 'there is no place or equipment "tnak-1": did you mean tank-1?'],
    ['tank-1/phh', 'there is no quantity "phh": did you mean ph?'],
    ['tank-1', '"tank-1" is no signal: it must read place/quantity'],
  ])('%s is not, and the reason says what is near', (signal, unknown) => {
    expect(signalPlanFor(plan, signal)).toEqual({ unknown })
  })
})

describe('bad-measurement alarms (AL-36)', () => {
  const of = (signal: string) => badMeasurementRule(plan, signal as ReturnType<typeof signalName>)

  it('follow what the probe says', () => {
    expect(of('sump/ph')).toMatchObject({
      priority: 'low',
      priorityFrom: { kind: 'by-hand' },
      followUpDelay: minutes(5),
      condition: { kind: 'unusable', signal: 'sump/ph' },
    })
  })

  it('are high where a stocked tank would go unseen, under the node that the pattern names', () => {
    expect(of('tank-1/dissolved_oxygen')).toMatchObject({
      priority: 'high',
      lifeSupport: false,
      causes: [{ alarm: 'node-lost@node-7', effect: 'suppressed' }],
    })
    expect(of('sump/dissolved_oxygen')?.priority).toBe('medium')
  })

  it('are not made where silence means nothing, or where they are turned off', () => {
    expect(of('sump/contact')).toBeNull()
    expect(of('sump/alkalinity')).toBeNull()
    expect(of('sump/conductivity')).toBeNull()
    expect(of('sump/running')).not.toBeNull()
    expect(
      badMeasurementRule(
        planOf(farm('alarms: [{ id: bad-measurement, off: true }]')),
        signalName('sump', 'ph'),
      ),
    ).toBeNull()
  })

  it('an entry of their id changes how all of them are told', () => {
    const changed = planOf(farm('alarms: [{ id: bad-measurement, on_delay: 1 min, priority: critical }]'))
    expect(badMeasurementRule(changed, signalName('tank-1', 'dissolved_oxygen'))).toMatchObject({
      onDelay: minutes(1),
      priority: 'critical',
    })
    // What the probe itself says still goes before.
    expect(badMeasurementRule(changed, signalName('sump', 'ph'))?.priority).toBe('low')
  })
})

describe('alarms about ourselves', () => {
  it('broker and store are high, the rest waits for the morning; all are life support (AL-13)', () => {
    for (const part of ['broker', 'store']) expect(ownTroubleRule(plan, part)?.priority).toBe('high')
    for (const part of ['clock', 'disk', 'text', 'siren']) {
      expect(ownTroubleRule(plan, part)).toMatchObject({
        id: `own-trouble@${part}`,
        priority: 'low',
        lifeSupport: true,
        ladder: 'night',
        followUpDelay: minutes(2),
        causes: [],
      })
    }
  })

  it('a probe clock is low and stands at the probe', () => {
    expect(probeClockRule(plan, signalName('sump', 'ph'))).toMatchObject({
      id: 'probe-clock@sump/ph',
      priority: 'low',
      place: 'sump',
      condition: { kind: 'verdict', of: 'sump/ph', modes: ['clock'] },
    })
  })
})
