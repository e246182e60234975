import { describe, expect, it } from 'vitest'
import { farmFromText } from '../../daemon/cli/load-farm.js'
import { readScript } from '../../daemon/cli/script-file.js'
import type { Line, ValueLine } from '../../daemon/journal/line.js'
import { signalName, type SignalName } from '../../daemon/readings/signal.js'
import { after, epochMs, minutes, rfc3339, seconds, type EpochMs } from '../../daemon/units/time.js'
import { advance } from '../../daemon/watch/advance.js'
import { howComputed } from '../../daemon/watch/computing.js'
import { allDocs, newWorld } from '../../daemon/watch/docs.js'
import { rehearse } from '../../daemon/watch/rehearse.js'
import { resume } from '../../daemon/watch/restart.js'
import type { World } from '../../daemon/watch/world.js'

const farm = `
farm: { name: Larkfield, time_zone: Europe/London, altitude: 80 m }
places:
  - id: tank-1
    kind: tank
    volume: 1.9 m3
    surface_area: 1.9 m2
    fish: { species: nile_tilapia, count: 160, mean_mass: 240 g, feed_per_day: 900 g, feed_protein: 36 % }
probes:
  - { signal: tank-1/dissolved_oxygen, topic: a, unit: mg/L, every: 15 s }
  - { signal: tank-1/water_temperature, topic: b, unit: Cel, every: 60 s }
  - { signal: blower-a/current, topic: c, unit: A, every: 15 s }
equipment:
  - { id: blower-a, kind: blower, serves: [tank-1], evidence: { current: blower-a/current }, normal: { current: [1.8 A, 2.6 A] } }
people: [ { id: first-keeper, name: First keeper, reach: { text: "+44 7700 900101" } } ]
ladders: { night: { steps: [ { after: 0 min, call: first-keeper, by: [text] } ] } }
`
const { plan } = farmFromText({ text: farm, file: 'farm.yaml', env: {}, readFile: () => '' })
const start = epochMs(Date.UTC(2027, 0, 10))

interface Stretch {
  readonly minutes: number
  /** mg/(L.h) */
  readonly rate: number
  readonly blower: boolean
}

/** What the probes say along straight stretches, every 15 s. */
function* readings(
  stretches: readonly Stretch[],
): Generator<{ at: EpochMs; signal: string; value: number; unit: string }> {
  let [at, oxygen] = [start, 6.5]
  for (const { minutes: length, rate, blower } of stretches) {
    for (let second = 0; second < length * 60; second += 15) {
      at = after(at, seconds(15))
      oxygen += (rate * 15) / 3600
      yield { at, signal: 'blower-a/current', value: blower ? 2.2 : 0.01, unit: 'A' }
      if (second % 60 === 0) yield { at, signal: 'tank-1/water_temperature', value: 27, unit: 'Cel' }
      yield { at, signal: 'tank-1/dissolved_oxygen', value: Number(oxygen.toFixed(3)), unit: 'mg/L' }
    }
  }
}

function told(stretches: readonly Stretch[]): readonly Line[] {
  const text = [...readings(stretches)]
    .map(({ at, ...rest }) => JSON.stringify({ arrive: rfc3339(at), t: rfc3339(at), ...rest }))
    .join('\n')
  const script = readScript(text, { file: 'night.jsonl', plan, planOf: () => plan })
  const lines: Line[] = []
  rehearse(plan, script, { derived: (signal) => signal.includes('oxygen_'), every: minutes(1) }, (line) =>
    lines.push(line),
  )
  return lines
}

const trend = (lines: readonly Line[]) =>
  lines.filter(
    (line): line is ValueLine => line.event === 'value' && line.signal === 'tank-1/oxygen_minutes_on_trend',
  )

const calm: Stretch = { minutes: 30, rate: 0, blower: true }
const stop: Stretch = { minutes: 30, rate: -6, blower: false }
const back: Stretch = { minutes: 20, rate: 9, blower: true }

describe('oxygen minutes in the watch', () => {
  const night = told([calm, stop, back])
  const stopped = after(start, minutes(30))
  const at = (span: number): ValueLine => {
    const line = trend(night).find((one) => one.at >= after(stopped, minutes(span)))
    return line ?? expect.fail('no line')
  }

  it('are null, with the reason and of good quality, while nothing falls', () => {
    expect(at(-5)).toMatchObject({
      value: null,
      quality: 'good',
      why: 'not falling towards 2 mg/L',
      limit: 2,
    })
  })

  it('carry an interval and the level that is counted down to', () => {
    const line = at(20)
    // 6.5 - 2 = 4.5 mg/L at 6 mg/(L.h): 45 min in all, 25 of them left
    expect(line.value).toBeGreaterThan(23)
    expect(line.value).toBeLessThan(28)
    expect(line.low).toBeLessThan(25)
    expect(line.high).toBeGreaterThan(25)
    expect(line.limit).toBe(2)
  })

  it('ring when they run short, and are over when the air is back', () => {
    const states = night.filter(
      (line) => line.event === 'state' && line.alarm === 'oxygen-minutes-low@tank-1',
    )
    expect(states).toMatchObject([
      { from: 'NORM', to: 'UNACK', priority: 'critical' },
      { from: 'UNACK', to: 'RTNUN' },
    ])
    const begun = states[0]?.at ?? start
    expect(begun).toBeGreaterThan(after(stopped, minutes(14)))
    expect(begun).toBeLessThan(after(stopped, minutes(19)))
  })

  it('are told in the first text about the blower, and their return together with its return', () => {
    const texts = night.flatMap((line) => (line.event === 'message' ? [line.text] : []))
    expect(texts[0]).toMatch(/Blower A: stopped since 00:30, tank 1: about \d+ min to 2\.0/)
    const returns = texts.filter((text) => text.includes('back to normal'))
    expect(returns).toHaveLength(1)
    expect(returns[0]).toContain('Blower A: back to normal')
    expect(returns[0]).toContain('oxygen minutes')
  })

  it('turn the moment the blower is known to stand, before the oxygen has moved', () => {
    const line = trend(told([calm, { minutes: 1, rate: 0, blower: false }])).at(-1)
    expect(line?.value).toBeGreaterThan(30)
    expect(line?.value).toBeLessThan(120)
  })

  it('are bad, with the reason, when the probe falls silent', () => {
    const lines = told([calm, { minutes: 0, rate: 0, blower: true }])
    expect(trend(lines).at(-1)?.quality).toBe('good')
    const world = watched([calm])
    advance(world, [], after(world.now, minutes(10)))
    const memory = world.signals.get(signalName('tank-1', 'oxygen_minutes_on_trend'))
    expect(memory).toMatchObject({ stale: true, newestQuality: 'bad' })
    expect(memory?.newestReasons.join()).toContain('oxygen is bad')
  })
})

function watched(stretches: readonly Stretch[]): World {
  const world = newWorld(plan, start)
  for (const { at, signal, value } of readings(stretches)) {
    const arrival = {
      signal: signal as SignalName,
      value,
      measuredAt: at,
      claimed: 'good' as const,
      retained: false,
      source: 'probe' as const,
    }
    advance(world, [{ kind: 'arrival', arrival }], at)
  }
  return world
}

const demand = signalName('tank-1', 'oxygen_demand')

describe('what was learnt of a tank', () => {
  const world = watched([calm, { ...stop, minutes: 15 }])

  it('is told: how much it takes, how surely, and from what', () => {
    const before = howComputed(watched([calm]), demand, after(start, minutes(30)))
    const then = howComputed(world, demand, world.now)
    expect(before).toMatchObject({
      quality: 'uncertain',
      reasons: ['by species, mass and feed: no draw-down was seen yet'],
    })
    expect(then).toMatchObject({ quality: 'good', unit: 'mg/(L.h)', equation: 'OX-10' })
    const width = (one: typeof then) => (one?.high ?? NaN) / (one?.low ?? NaN)
    expect(width(then)).toBeLessThan(width(before) / 1.5)
    expect(then?.inputs.map(({ name }) => name)).toEqual([
      'oxygen',
      'temperature',
      'salinity',
      'pressure',
      'flow',
    ])
  })

  it('survives a restart', () => {
    const kept = JSON.parse(
      JSON.stringify({ docs: allDocs(world), newest: [], until: world.now }),
    ) as Parameters<typeof resume>[1]
    const again = resume(plan, kept, after(world.now, minutes(5)))
    expect(again.estimates.get('oxygen_left@tank-1')).toMatchObject({ learnt: { seen: { drawDowns: 1 } } })
  })
})
