import { describe, expect, it } from 'vitest'
import { farm, load, loaded, said } from './loading.js'

describe('a configuration that says little', () => {
  const { settings } = loaded('farm: { name: Larkfield }')

  it('has the defaults of the rules that they come from', () => {
    expect(settings.shelving).toEqual({ maximum: 4 * 3_600_000, life_support_maximum: 3_600_000 })
    expect(settings.chattering).toEqual({ activations: 3, within: 60_000, over_after: 600_000 })
    expect(settings.flood).toEqual({ start_above: 5, end_below: 2, window: 600_000, digest_every: 300_000 })
    expect(settings.day).toEqual({ from: 7 * 60, to: 21 * 60 })
    expect(settings.system).toEqual({
      follow_up_delay: 60_000,
      interruption_told_after: 120_000,
      priority: 'high',
    })
    expect(settings.broker.embedded?.listen).toEqual({ host: '127.0.0.1', port: 1883 })
    expect(settings.web.listen).toEqual({ host: '127.0.0.1', port: 8420 })
    expect(settings.store.folder).toBe('data')
    expect(settings.practice.enabled).toBe(false)
  })

  it('is frozen through and through', () => {
    expect(Object.isFrozen(settings)).toBe(true)
    expect(Object.isFrozen(settings.broker.embedded?.listen)).toBe(true)
    expect(() => Object.assign(settings.day, { from: 0 })).toThrow(TypeError)
  })
})

describe('values', () => {
  it('come in canonical units where those are fixed', () => {
    const { settings } = loaded(`
farm: { name: Larkfield, altitude: 262.5 ft }
places:
  - { id: tank-1, kind: tank, volume: 500 gal, levels: { normal: 1 m }, meals: ["08:00", "17:30"],
      fish: { species: nile_tilapia, count: 10, mean_mass: 0.5 lb, feed_per_day: 900 g, feed_protein: 36 % } }
  - { id: house, kind: air, envelope: { area: 310 m2, u_value: 4.0 W/(m2.K), volume: 640 m3, air_changes: 1.0 /h } }
`)
    const [tank, house] = settings.places
    expect(settings.farm.altitude).toBe(80.01)
    expect(tank).toMatchObject({ volume: 1.892705892, levels: { normal: 100 }, meals: [480, 1050] })
    expect(tank?.fish).toMatchObject({ mean_mass: 0.226796185, feed_per_day: 0.9, feed_protein: 0.36 })
    expect(house?.envelope).toEqual({ area: 310, u_value: 4, volume: 640, air_changes: 1 })
  })

  it('stay as written where the unit depends on the signal', () => {
    const { settings } = loaded(`${farm}alarms:
  - { id: a, signal: "tank-*/dissolved_oxygen", below: 4.5 ppm, deadband: 400 ug/L }
  - { id: b, signal: tank-1/ph, below: 6.5 }
  - { id: c, signal: tank-1/water_temperature, above: 86 degF, deadband: 1 K }
`)
    expect(settings.alarms.map(({ below, above, deadband }) => [below ?? above, deadband])).toEqual([
      [
        { value: 4.5, unit: 'mg/L' },
        { value: 400, unit: 'ug/L' },
      ],
      [{ value: 6.5, unit: '1' }, undefined],
      [
        { value: 86, unit: '[degF]' },
        { value: 1, unit: 'K' },
      ],
    ])
  })

  it.each([
    ['0.05 mg/L/min', 'either', 0.05, null],
    ['+0.05 mg/L/min', 'rising', 0.05, null],
    ['-0.05 mg/L/min', 'falling', 0.05, null],
    ['{ limit: -3 mg/L/h, over: 10 min }', 'falling', 3, 600_000],
  ])('rate: %s counts %s', (rate, way, value, over) => {
    const { settings } = loaded(`${farm}alarms: [{ id: a, signal: tank-1/dissolved_oxygen, rate: ${rate} }]`)
    expect(settings.alarms[0]?.rate).toMatchObject({ way, limit: { value }, over })
  })

  it('takes on, off and other words for what is compared', () => {
    const { settings } = loaded(
      `${farm}alarms: [{ id: a, signal: m/present, is: 0 }, { id: b, signal: m/present, is: false }, { id: c, signal: m/present, is: open }]`,
    )
    expect(settings.alarms.map((alarm) => alarm.is)).toEqual([0, 0, 'open'])
  })

  it('counts the week from Monday', () => {
    const { settings } = loaded(`${farm}people: [{ id: a, name: A }]
roster:
  - { from: Mon 00:00, to: Sun 23:59, who: a }
  - { from: friday 08:00, to: Fri 08:00, who: [a] }
`)
    expect(settings.roster).toEqual([
      { from: 0, to: 7 * 1440 - 1, who: ['a'] },
      { from: 4 * 1440 + 480, to: 4 * 1440 + 480, who: ['a'] },
    ])
  })

  it('expects a probe every minute unless it reports on change', () => {
    const { settings } = loaded(`${farm}probes:
  - { signal: tank-1/ph, topic: a }
  - { signal: mains/present, topic: b, reports: on_change, heartbeat: 1 h }
`)
    expect(settings.probes.map(({ every }) => every)).toEqual([60_000, null])
  })

  it('turns things off with a word', () => {
    const { settings } = loaded(
      `${farm}chattering: off\nflood: off\nprobes: [{ signal: a/ph, topic: a, tests: off }]\nalarms: [{ id: ph-low, off: true }]`,
    )
    expect([settings.chattering, settings.flood, settings.probes[0]?.tests, settings.alarms[0]?.off]).toEqual(
      ['off', 'off', 'off', true],
    )
  })
})

describe('problems', () => {
  it('are told all at once, in the order of the file', () => {
    const lines = said(`farm: { name: Larkfield, time_zone: Mars/Larkfield }
broker: { password: "\${NOT_SET}", url: mqtt://broker.lan }
places: [{ id: tank-1, kind: tank, voluem: 1.9 m3 }]
probes: [{ signal: tank-1/ph, topic: a, every: 30 }]
alarms: [{ id: a, signal: tank-1/dissolved_oxygen, below: 4.5, on_delay: 2 }]
people: [{ id: a, name: A }]
roster: [{ from: Mon 00:00, to: Mon 00:00, who: zoe }]
`)
    expect(lines).toEqual([
      'x.yaml:1:26 farm.time_zone: is no time zone (found "Mars/Larkfield"); write an IANA name such as Europe/London',
      'x.yaml:2:11 broker.password: the environment variable NOT_SET is not set; set it before the start',
      'x.yaml:3:36 places[0].voluem: unknown key; did you mean volume?',
      'x.yaml:4:41 probes[0].every: a bare number where a length of time with its unit is due (found 30); write for example 30 s',
      'x.yaml:5:52 alarms[0].below: a bare number where a unit is due (found 4.5); write it in mg/L or a unit that converts to it',
      'x.yaml:5:64 alarms[0].on_delay: a bare number where a length of time with its unit is due (found 2); write for example 2 min',
      'x.yaml:7:44 roster[0].who[0]: there is no person zoe; known: a',
    ])
  })

  it('of the syntax come alone, since the rest cannot be read', () => {
    expect(said('farm: { name: Larkfield\nprobes: 3')).toHaveLength(1)
  })

  it('are located behind aliases and under lists', () => {
    const text = `${farm}places:\n  - &tank { id: tank-1, kind: tank, volume: 1.9 }\n`
    expect(said(text)).toEqual([expect.stringMatching(/^x\.yaml:3:37 places\[0\]\.volume: /)])
  })

  it('are none in a section whose entries are all commented out', () => {
    expect(said(`${farm}alarms:\n#  - id: a\nweb:\n`)).toEqual([])
  })

  it('of an empty file is that the farm is missing', () => {
    expect(said('')).toEqual(['x.yaml:1:1 farm: is missing; add farm'])
    expect(said('# nothing\n')).toHaveLength(1)
  })

  it('gives a place to what is found later, when the farm is planned', () => {
    const read = loaded(`${farm}places:\n  - { id: tank-1, kind: tank }\n`)
    const [located] = read.located([{ path: ['places', 0, 'kind'], wrong: 'w', right: 'r' }])
    expect(located).toMatchObject({ file: 'x.yaml', line: 3, column: 19, found: '"tank"' })
    expect(read.locate(['places', 0])).toEqual({ line: 3, column: 5 })
  })

  it('are not made up: a configuration is refused only for something', () => {
    const read = load('farm: 3')
    expect(read.kind === 'refused' && read.problems.length).toBe(1)
  })
})

describe('the environment', () => {
  it('fills in any string, and $${…} stands for itself', () => {
    const env = { FOLDER: 'kept', HOST: 'broker.lan' }
    const { settings } = loaded(
      `${farm}store: { folder: "a/\${FOLDER}/$\${FOLDER}" }\nbroker: { url: "mqtt://\${HOST}" }`,
      { env },
    )
    expect(settings.store.folder).toBe('a/kept/${FOLDER}')
    expect(settings.broker.url).toBe('mqtt://broker.lan')
  })

  it('is never quoted, whatever it holds', () => {
    const env = { TOKEN: 'abracadabra' }
    const lines = said(
      `${farm}places: [{ id: a, kind: tank, volume: "\${TOKEN}" }]\nroster: [{ from: "\${TOKEN}", to: Mon 00:00, who: a }]`,
      { env },
    )
    expect(lines).toHaveLength(2)
    expect(lines.join('\n')).toContain('what TOKEN holds does not fit here (found "${TOKEN}")')
    expect(lines.join('\n')).not.toContain('abracadabra')
    const person = said(`${farm}people: []\nroster: [{ from: Mon 00:00, to: Mon 00:00, who: "\${TOKEN}" }]`, {
      env,
    })
    expect(person).toEqual([expect.stringContaining('what TOKEN holds does not fit here')])
  })
})
