import { alarmId, type AlarmRule } from '../../daemon/alarms/rule.js'
import type { FarmPlan, Place, SignalPlan } from '../../daemon/farm/plan.js'
import type { AlarmNow, EquipmentNow, SignalNow, Snapshot } from '../../daemon/ports/door.js'
import { signalName } from '../../daemon/readings/signal.js'
import { quantities, quantityNamed } from '../../daemon/units/quantities.js'
import { epochMs, hours, minutes, seconds, type EpochMs } from '../../daemon/units/time.js'

/** The invented farm of the tests of pages: Larkfield, two tanks, on the night of 10 January 2027. */

/** 02:14:05 in the farm's own time: winter, so UTC. */
export const nightTime = epochMs(Date.UTC(2027, 0, 10, 2, 14, 5))
const ago = (span: number): EpochMs => epochMs(nightTime - span)

const place = (id: string, kind: Place['kind'], label: string): Place => ({
  id,
  kind,
  label,
  volume: null,
  surfaceArea: null,
  fish: null,
  levels: null,
  flowsTo: [],
  media: null,
  envelope: null,
  meals: [],
  plants: null,
})

const places: readonly Place[] = [
  place('tank-1', 'tank', 'tank 1'),
  place('tank-2', 'tank', 'tank 2'),
  place('biofilter', 'biofilter', 'biofilter'),
  place('house', 'air', 'house'),
]

const rule = (parts: Pick<AlarmRule, 'rule' | 'about' | 'priority' | 'condition'>): AlarmRule => ({
  ...parts,
  id: alarmId(parts.rule, parts.about),
  place: parts.about,
  onDelay: minutes(2),
  offDelay: minutes(3),
  priorityFrom: { kind: 'built-in' },
  ladder: 'night',
  latching: false,
  followUpDelay: minutes(1),
  reAlarm: minutes(30),
  lifeSupport: parts.rule.startsWith('oxygen'),
  lesserOf: null,
  suppressedWhile: [],
  releaseDelay: minutes(1),
  causes: [],
  cause: null,
  consequence: null,
  response: null,
  origin: 'built-in',
})

const oxygenRule = (about: string, name: string, limit: number) =>
  rule({
    rule: name,
    about,
    priority: name === 'oxygen-low' ? 'high' : 'critical',
    condition: { kind: 'below', signal: signalName(about, 'dissolved_oxygen'), limit, deadband: 0.4 },
  })

const rules: readonly AlarmRule[] = [
  oxygenRule('tank-1', 'oxygen-low', 4.5),
  oxygenRule('tank-2', 'oxygen-low', 4.5),
  rule({
    rule: 'temperature-low',
    about: 'tank-1',
    priority: 'high',
    condition: { kind: 'below', signal: signalName('tank-1', 'water_temperature'), limit: 22, deadband: 0.5 },
  }),
  rule({
    rule: 'equipment-fault',
    about: 'blower-a',
    priority: 'critical',
    condition: { kind: 'verdict', of: 'blower-a', modes: 'any' },
  }),
]

const planned = (name: string, quantity: string): [SignalPlan['signal'], SignalPlan] => {
  const found = quantityNamed(quantity)
  if (found === undefined) throw new Error(`no quantity ${quantity}`)
  const signal = signalName(name, quantity)
  return [
    signal,
    {
      signal,
      quantity: found,
      every: seconds(30),
      staleTime: minutes(2),
      lateLimit: seconds(60),
      futureLimit: minutes(2),
      responseTime: null,
      plausible: null,
      tests: null,
      via: null,
      origin: 'probe',
    },
  ]
}

export const larkfieldPlan: FarmPlan = {
  farm: {
    name: 'Larkfield',
    id: 'larkfield',
    timeZone: 'Europe/London',
    latitude: 52.6,
    longitude: -1.1,
    altitude: 80,
    showUnits: 'metric',
  },
  places: new Map(places.map((one) => [one.id, one])),
  equipment: new Map(),
  signals: new Map([planned('tank-1', 'dissolved_oxygen'), planned('tank-1', 'water_temperature')]),
  quantities: new Map(quantities.map((quantity) => [quantity.name, quantity])),
  alarms: new Map(rules.map((one) => [one.id, one])),
  groups: [],
  people: new Map(
    [
      { id: 'first-keeper', name: 'First keeper', language: 'en', reach: { text: '+44 7700 900101' } },
      { id: 'second-keeper', name: 'Second keeper', language: 'en', reach: { text: '+44 7700 900102' } },
    ].map((person) => [person.id, person]),
  ),
  roster: [],
  ladders: new Map(),
  rules: {
    shelving: { maximum: hours(4), lifeSupportMaximum: hours(1) },
    chattering: null,
    flood: null,
    day: { from: 420, to: 1260 },
    system: { ladder: null, followUpDelay: minutes(1), interruptionToldAfter: minutes(5), priority: 'high' },
  },
  switches: [],
  onDemand: { patterns: [], rules: { 'bad-measurement': null, 'probe-clock': null, 'own-trouble': null } },
}

const signal = (name: string, quantity: string, value: number, more: Partial<SignalNow> = {}): SignalNow => {
  const { label, unit } = quantityNamed(quantity) ?? { label: quantity, unit: '' }
  return {
    signal: signalName(name, quantity),
    place: name,
    quantity,
    label,
    unit,
    value,
    quality: 'good',
    reasons: [],
    at: ago(14_000),
    stale: false,
    perMinute: 0,
    computed: false,
    ...{ low: null, high: null, limit: null },
    ...more,
  }
}

const machine = (
  id: string,
  kind: string,
  label: string,
  more: Partial<EquipmentNow> = {},
): EquipmentNow => ({
  id,
  kind,
  label,
  serves: ['tank-1', 'tank-2'],
  mode: 'normal',
  confidence: 0.97,
  since: ago(hours(20)),
  evidence: [],
  ...more,
})

/** A quiet night: everything seen, heard and running. */
export const calmNight: Snapshot = {
  at: nightTime,
  farm: { name: 'Larkfield', id: 'larkfield', timeZone: 'Europe/London', showUnits: 'metric' },
  places: [
    { id: 'tank-1', kind: 'tank', label: 'tank 1', fishCount: 160 },
    { id: 'tank-2', kind: 'tank', label: 'tank 2', fishCount: 140 },
    { id: 'biofilter', kind: 'biofilter', label: 'biofilter', fishCount: null },
    { id: 'house', kind: 'air', label: 'house', fishCount: null },
  ],
  signals: [
    signal('tank-1', 'dissolved_oxygen', 6.9),
    signal('tank-1', 'water_temperature', 26.4),
    signal('tank-1', 'ph', 6.8),
    signal('tank-1', 'unionised_ammonia_nitrogen', 0.004, { computed: true }),
    signal('tank-1', 'total_ammonia_nitrogen', 0.9, { at: ago(hours(9)) }),
    signal('tank-1', 'oxygen_minutes_if_air_stops', 31, { computed: true }),
    signal('tank-2', 'dissolved_oxygen', 7.1),
    signal('tank-2', 'water_temperature', 26.1),
    signal('house', 'air_temperature', 14.2),
    signal('house', 'relative_humidity', 91),
    signal('blower-a', 'current', 2.2),
    signal('blower-a', 'air_pressure', 18.4),
  ],
  alarms: [],
  equipment: [
    machine('blower-a', 'blower', 'Blower A'),
    machine('main-pump', 'pump', 'Main pump'),
    machine('heater', 'heater', 'Heater'),
    machine('mains', 'mains_supply', 'Mains'),
  ],
  onDuty: [{ id: 'first-keeper', name: 'First keeper' }],
  counts: { shelved: 0, suppressed: 0, outOfService: 0, stale: 0, watched: 24 },
  quietSince: epochMs(Date.UTC(2027, 0, 9, 21, 40)),
}

const alarm = (parts: Partial<AlarmNow> & Pick<AlarmNow, 'id' | 'where' | 'says' | 'priority'>): AlarmNow => {
  const [ruleName = '', about = ''] = parts.id.split('@')
  return {
    rule: ruleName,
    about,
    place: about,
    lifeSupport: true,
    state: 'UNACK',
    active: true,
    occurrence: 1,
    number: 47,
    conditionSince: ago(minutes(4)),
    activatedAt: ago(minutes(2)),
    acknowledgedBy: null,
    acknowledgedAt: null,
    held: null,
    cause: null,
    consequence: null,
    response: null,
    calling: null,
    ...parts,
  }
}

/** Blower A has stopped four minutes ago, tank 1 falls, one alarm is shelved, one probe is silent. */
export const outage: Snapshot = {
  ...calmNight,
  signals: [
    signal('tank-1', 'dissolved_oxygen', 3.8, { perMinute: -0.08 }),
    signal('tank-1', 'water_temperature', 26.4),
    signal('tank-1', 'ph', 6.8, { quality: 'uncertain', reasons: ['no calibration for 40 days'] }),
    signal('tank-1', 'unionised_ammonia_nitrogen', 0.004, { computed: true }),
    signal('tank-1', 'total_ammonia_nitrogen', 0.9, { at: ago(hours(9)) }),
    signal('tank-1', 'oxygen_minutes_on_trend', 24, { computed: true, perMinute: -1 }),
    signal('tank-1', 'oxygen_minutes_if_air_stops', 19, { computed: true }),
    signal('tank-2', 'dissolved_oxygen', 4.9, { perMinute: -0.05 }),
    signal('tank-2', 'water_temperature', 25.9, { at: ago(minutes(12)), stale: true, perMinute: null }),
    signal('house', 'air_temperature', 14.1),
    signal('house', 'relative_humidity', 91),
    signal('blower-a', 'current', 0),
    signal('blower-a', 'air_pressure', 0.1, { quality: 'bad', reasons: ['outside the plausible range'] }),
  ],
  alarms: [
    alarm({
      id: 'equipment-fault@blower-a',
      where: 'Blower A',
      says: 'stopped',
      priority: 'critical',
      number: 47,
      response: 'Look at the blower and its fuse. Start the spare air pump.',
      consequence: 'Fish suffocate within the hour.',
      calling: { step: 1, nextAt: epochMs(Date.UTC(2027, 0, 10, 2, 19)) },
    }),
    alarm({
      id: 'oxygen-low@tank-1',
      where: 'tank 1',
      says: 'oxygen 3.8 mg/L, limit 4.5',
      priority: 'high',
      number: 48,
      occurrence: 3,
      conditionSince: ago(minutes(3)),
      cause: 'Blower A stopped.',
      response: 'Look at the blowers. Stop feeding.',
      consequence: 'Fish suffocate within the hour.',
    }),
    alarm({
      id: 'temperature-low@tank-1',
      where: 'tank 1',
      says: 'water temperature 21.8 C, limit 22',
      priority: 'medium',
      number: null,
      state: 'SHLVD',
      held: {
        by: 'second-keeper',
        why: 'heater being descaled',
        until: epochMs(Date.UTC(2027, 0, 10, 3, 0)),
      },
    }),
  ],
  equipment: [
    machine('blower-a', 'blower', 'Blower A', {
      mode: 'stopped',
      confidence: 0.95,
      since: ago(minutes(4)),
      evidence: ['current 0.0 A, usually 1.8 to 2.6', 'air pressure gone'],
    }),
    machine('main-pump', 'pump', 'Main pump'),
    machine('heater', 'heater', 'Heater', { mode: 'unknown' }),
    machine('mains', 'mains_supply', 'Mains'),
  ],
  counts: { shelved: 1, suppressed: 0, outOfService: 0, stale: 1, watched: 24 },
  quietSince: null,
}
