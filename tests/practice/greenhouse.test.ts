import { describe, expect, it } from 'vitest'
import { createGreenhouse, type GreenhouseRequest } from '../../daemon/practice/greenhouse.js'
import { larkfieldProbes } from '../../daemon/practice/larkfield-probes.js'
import type { Mishap } from '../../daemon/practice/mishaps.js'
import { randomNight } from '../../daemon/practice/random-night.js'
import type { PracticeMessage } from '../../daemon/practice/talker.js'
import {
  after,
  between,
  epochMs,
  hours,
  minutes,
  parseRfc3339,
  seconds,
  type EpochMs,
} from '../../daemon/units/time.js'

const start = epochMs(Date.parse('2027-01-10T20:00:00Z'))
const quick = { warmUpHours: 0.5 }

function told(span: number, request: Partial<GreenhouseRequest> = {}): readonly PracticeMessage[] {
  const greenhouse = createGreenhouse({ seed: 1, start, options: quick, ...request })
  return greenhouse.advanceTo(epochMs(start + span))
}

const of = (messages: readonly PracticeMessage[], topic: string) =>
  messages.filter((message) => message.topic === topic)
const value = ({ payload }: PracticeMessage): number => JSON.parse(payload).v
const timeOf = ({ payload }: PracticeMessage): EpochMs => parseRfc3339(JSON.parse(payload).ts) ?? epochMs(NaN)
/** A mishap without its times. */
type What<Kind = Mishap> = Kind extends Mishap ? Omit<Kind, 'at' | 'for'> : never
const mishap = (what: What, from = 10, to = 20): readonly Mishap[] => {
  const span = { at: after(start, minutes(from)), for: minutes(to - from) }
  return [{ ...what, ...span } as Mishap]
}
const oxygenTopic = 'larkfield/tank-1/dissolved_oxygen'
const within = (messages: readonly PracticeMessage[], from: number, to: number) =>
  messages.filter(({ at }) => at >= start + minutes(from) && at < start + minutes(to))

describe('the practice greenhouse', () => {
  it('same seed, same bytes; another seed, others', () => {
    const mishaps = randomNight(11, { at: start, length: hours(1) })
    const once = told(hours(1), { seed: 3, mishaps })
    expect(told(hours(1), { seed: 3, mishaps })).toEqual(once)
    expect(told(hours(1), { seed: 4, mishaps })).not.toEqual(once)
  })

  it('says the same however often it is asked', () => {
    const mishaps = mishap({ kind: 'mains-outage' }, 3, 6)
    const once = told(minutes(12), { mishaps })
    const greenhouse = createGreenhouse({ seed: 1, start, options: quick, mishaps })
    const pieces: PracticeMessage[] = []
    for (let at = start as number; at < start + minutes(12); at += 777)
      pieces.push(...greenhouse.advanceTo(epochMs(at)))
    pieces.push(...greenhouse.advanceTo(after(start, minutes(12))))
    expect(pieces).toEqual(once)
  })

  it('says everything in order, when it is due, and nothing twice', () => {
    const messages = told(hours(1))
    for (const [index, message] of messages.slice(1).entries()) {
      expect(message.at).toBeGreaterThanOrEqual(messages[index]?.at ?? Infinity)
    }
    expect(new Set(messages.map(({ at, topic }) => `${topic} ${at}`)).size).toBe(messages.length)
    const greenhouse = createGreenhouse({ seed: 1, start, options: quick })
    greenhouse.advanceTo(after(start, minutes(5)))
    expect(greenhouse.advanceTo(after(start, minutes(4)))).toEqual([])
    expect(greenhouse.nextAt()).toBeGreaterThan(start + minutes(5))
    expect(greenhouse.nextAt()).toBeLessThanOrEqual(start + minutes(5) + seconds(5))
  })

  it('lets every probe speak at its own interval, a few messages lost', () => {
    const messages = told(hours(2))
    for (const probe of larkfieldProbes('larkfield/{place}/{quantity}')) {
      const due = hours(2) / probe.every
      expect(of(messages, probe.topic).length, probe.topic).toBeGreaterThan(0.97 * due - 2)
      expect(of(messages, probe.topic).length, probe.topic).toBeLessThanOrEqual(due + 1)
    }
  })

  it('speaks JSON with value and time, a bare number for the flow, and SenML (RFC 8428) from one node', () => {
    const messages = told(minutes(5))
    for (const message of of(messages, oxygenTopic)) {
      expect(message.payload).toMatch(/^\{"v":\d+\.\d\d,"ts":"2027-01-10T20:0\d:\d\d(\.\d{3})?Z"\}$/)
      expect(Math.abs(between(timeOf(message), message.at))).toBeLessThan(seconds(1))
    }
    for (const { payload } of of(messages, 'larkfield/sump/flow')) expect(payload).toMatch(/^\d+\.\d$/)
    const [pack] = of(messages, 'larkfield/node7').map(({ payload }) => JSON.parse(payload))
    expect(pack).toEqual([
      { n: 'urn:dev:ow:10e2073a01080063', u: 'Cel', t: expect.any(Number), v: expect.any(Number) },
    ])
  })

  it('publishes where it is told to', () => {
    const probes = larkfieldProbes('farm/north/{place}/{quantity}')
    const topics = new Set(told(minutes(11), { options: { ...quick, probes } }).map(({ topic }) => topic))
    expect(topics).toContain('farm/north/tank-1/dissolved_oxygen')
    expect(topics).toContain('farm/north/node7')
  })

  it('keeps close to the truth while nothing is wrong', () => {
    const greenhouse = createGreenhouse({ seed: 1, start, options: quick })
    const said = of(greenhouse.advanceTo(after(start, hours(1))), oxygenTopic)
      .map(value)
      .at(-1)
    expect(Math.abs((said ?? NaN) - greenhouse.truth().water['tank-1'].oxygen)).toBeLessThan(0.15)
  })

  it('feeds by the clock on the wall, through daylight saving', () => {
    const summer = epochMs(Date.parse('2027-07-10T06:30:00Z'))
    const greenhouse = createGreenhouse({ seed: 1, start: summer, options: quick })
    greenhouse.advanceTo(after(summer, minutes(25)))
    const before = greenhouse.truth().state.ledger.feedGiven
    greenhouse.advanceTo(after(summer, minutes(45)))
    expect(greenhouse.truth().state.ledger.feedGiven - before).toBeCloseTo(1600, 6)
  })
})

describe('in a mains outage', () => {
  const messages = told(minutes(40), { mishaps: mishap({ kind: 'mains-outage' }) })
  const last = (topic: string, to: number) =>
    value(within(of(messages, topic), to - 3, to).at(-1) ?? ({ payload: '{}' } as PracticeMessage))

  it('the supply says so within ten seconds, retained, and again when it is back', () => {
    const changes = of(messages, 'larkfield/mains/present').filter(
      (message, index, all) => index > 0 && value(message) !== value(all[index - 1] ?? message),
    )
    expect(changes.map(value)).toEqual([0, 1])
    expect((changes[0]?.at ?? NaN) - start - minutes(10)).toBeLessThanOrEqual(seconds(10))
    expect((changes[1]?.at ?? NaN) - start - minutes(20)).toBeLessThanOrEqual(seconds(10))
    expect(changes.every(({ retain }) => retain)).toBe(true)
  })

  it('blowers, pump and heater fall still, the probes go on, the battery sinks', () => {
    for (const topic of ['blower-a/current', 'blower-b/air_pressure', 'main-pump/current', 'heater/power']) {
      expect(last(`larkfield/${topic}`, 19), topic).toBeLessThan(20)
    }
    expect(last('larkfield/blower-a/current', 19)).toBeLessThan(0.1)
    expect(Number(within(of(messages, 'larkfield/sump/flow'), 18, 19).at(-1)?.payload)).toBeLessThan(3)
    expect(last('larkfield/battery/charge', 19)).toBeLessThan(98)
  })

  it('oxygen sags by more than half a milligram and comes back', () => {
    expect(last(oxygenTopic, 20)).toBeLessThan(last(oxygenTopic, 10) - 0.5)
    expect(last(oxygenTopic, 39)).toBeGreaterThan(last(oxygenTopic, 10) - 0.3)
  })

  it('when the battery is empty too, nothing is heard at all', () => {
    const long = told(hours(7), {
      mishaps: mishap({ kind: 'mains-outage' }, 0, 400),
      options: { ...quick, stepSeconds: 10 },
    })
    expect(within(long, 5 * 60, 5 * 60 + 10).length).toBeGreaterThan(100)
    expect(within(long, 5 * 60 + 25, 400)).toEqual([])
    expect(within(long, 401, 410).length).toBeGreaterThan(100)
  })
})

describe('faults of probes', () => {
  const signal = 'tank-1/dissolved_oxygen'
  const heard = (what: What) => within(of(told(minutes(25), { mishaps: mishap(what) }), oxygenTopic), 11, 20)
  const well = within(of(told(minutes(25)), oxygenTopic), 11, 20)

  it('unplugged: silence, or nonsense', () => {
    expect(heard({ signal, kind: 'probe-unplugged', shows: 'silence' })).toEqual([])
    const nonsense = new Set(heard({ signal, kind: 'probe-unplugged', shows: 'garbage' }).map(value))
    expect(nonsense).toEqual(new Set([null, 'nan', -127]))
  })

  it('flat: the same value, in a live message', () => {
    const flat = heard({ signal, kind: 'probe-flat' })
    expect(new Set(flat.map(value)).size).toBe(1)
    expect(flat.length).toBe(well.length)
  })

  it('spiking: some values far off, most not', () => {
    const off = heard({ signal, kind: 'probe-spiking', size: 4 }).map((message, index) =>
      Math.abs(value(message) - value(well[index] ?? message)),
    )
    expect(off.filter((apart) => apart > 3.9).length).toBeGreaterThan(2)
    expect(off.filter((apart) => apart === 0).length).toBeGreaterThan(off.length / 2)
  })

  it('fouled: lower and lower', () => {
    const fouled = heard({ signal, kind: 'probe-fouled', size: 1 }).map(value)
    expect(fouled.at(-1)).toBeLessThan((fouled[0] ?? NaN) - 0.4)
  })

  it('clock wrong: right values with wrong times', () => {
    const wrong = heard({ signal, kind: 'probe-clock-wrong', size: minutes(-30) })
    expect(wrong.map(value)).toEqual(well.map(value))
    for (const message of wrong)
      expect(Math.abs(between(timeOf(message), message.at) - minutes(30))).toBeLessThan(seconds(1))
  })

  it('do not touch the water', () => {
    const truth = (mishaps: readonly Mishap[]) => {
      const greenhouse = createGreenhouse({ seed: 1, start, options: quick, mishaps })
      greenhouse.advanceTo(after(start, minutes(25)))
      return greenhouse.truth().water
    }
    expect(truth(mishap({ kind: 'probe-spiking', signal, size: 4 }))).toEqual(truth([]))
  })
})

describe('a lost gateway', () => {
  it('silences its own probes and no others', () => {
    const messages = told(minutes(25), {
      mishaps: mishap({ kind: 'gateway-lost', gateway: 'wet-side', keeps: false }),
    })
    const during = within(messages, 10.2, 20)
    expect(of(during, oxygenTopic)).toEqual([])
    expect(of(during, 'larkfield/blower-a/current').length).toBeGreaterThan(50)
    expect(of(within(messages, 20, 25), oxygenTopic).length).toBeGreaterThan(15)
  })

  it('that keeps what it could not send hands it over later, with the old times', () => {
    const messages = told(minutes(25), {
      mishaps: mishap({ kind: 'gateway-lost', gateway: 'wet-side', keeps: true }),
    })
    const oxygen = of(messages, oxygenTopic)
    expect(within(oxygen, 10.2, 20)).toEqual([])
    const late = oxygen.filter((message) => between(timeOf(message), message.at) > seconds(10))
    expect(late.length).toBeGreaterThan(35)
    expect(oxygen.map(timeOf)).toEqual(of(told(minutes(25)), oxygenTopic).map(timeOf))
  })
})
