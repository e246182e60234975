import { describe, expect, it } from 'vitest'
import { createGreenhouse } from '../../daemon/practice/greenhouse.js'
import { tankIds } from '../../daemon/practice/larkfield.js'
import { mishapsUnderWay } from '../../daemon/practice/mishaps.js'
import { openStage } from '../../daemon/practice/stage.js'
import { after, days, epochMs, hours, minutes, seconds, type EpochMs } from '../../daemon/units/time.js'

const opensAt = epochMs(Date.parse('2027-05-03T14:20:00Z'))
const stage = openStage({ seed: 1, opensAt, speed: 1 })
const underWay = (at: EpochMs) => mishapsUnderWay(stage.mishaps, at)
const kindsAt = (at: EpochMs) => underWay(at).map(({ kind }) => kind)

/** When something begins or ends, to the second, within `[from, to)`. */
function turns(from: EpochMs, to: EpochMs): { at: EpochMs; kinds: string }[] {
  const found: { at: EpochMs; kinds: string }[] = []
  for (let at = from as number; at < to; at += 1000) {
    const kinds = kindsAt(epochMs(at)).join()
    if (kinds !== found.at(-1)?.kinds) found.push({ at: epochMs(at), kinds })
  }
  return found
}

describe("the newcomer's first outage", () => {
  it('leaves a minute of quiet, then takes the mains for twelve', () => {
    for (let seed = 0; seed < 50; seed++) {
      const { mishaps } = openStage({ seed, opensAt, speed: 1 })
      expect(mishapsUnderWay(mishaps, after(opensAt, seconds(59)))).toEqual([])
      const outage = mishapsUnderWay(mishaps, after(opensAt, seconds(75)))
      expect(outage.map(({ kind, for: long }) => [kind, long])).toEqual([['mains-outage', minutes(12)]])
    }
  })

  it('keeps the quiet in wall time when the clock runs faster', () => {
    const fast = openStage({ seed: 1, opensAt, speed: 20 })
    expect(mishapsUnderWay(fast.mishaps, after(opensAt, minutes(19)))).toEqual([])
    expect(mishapsUnderWay(fast.mishaps, after(opensAt, minutes(26)))).toHaveLength(1)
  })

  it.each(['2027-01-10T03:00:00Z', '2027-01-10T08:20:00Z', '2027-07-10T14:00:00Z', '2027-10-01T22:00:00Z'])(
    'is seen in the water whenever the watch begins, %s, and ends well',
    (text) => {
      const begin = epochMs(Date.parse(text))
      const play = openStage({ seed: 1, opensAt: begin, speed: 1 })
      const greenhouse = createGreenhouse({ seed: 1, start: begin, mishaps: play.mishaps })
      const oxygen = (at: number): number[] => {
        greenhouse.advanceTo(after(begin, minutes(at)))
        return tankIds.map((tank) => greenhouse.truth().water[tank].oxygen)
      }
      const [quiet, threeMinutes, end, later] = [oxygen(1), oxygen(3), oxygen(13), oxygen(36)]
      for (const index of [0, 1, 2]) {
        expect(quiet[index]).toBeGreaterThan(4.9)
        expect(threeMinutes[index]).toBeLessThan((quiet[index] ?? NaN) - 0.15)
        expect(end[index]).toBeLessThan((quiet[index] ?? NaN) - 1.3)
        expect(end[index]).toBeGreaterThan(2)
        expect(later[index]).toBeGreaterThan((quiet[index] ?? NaN) - 0.3)
      }
      expect(Math.min(...end)).toBe(end[2])
    },
  )
})

describe('what is said', () => {
  it('comes at the moment it happens', () => {
    const said = stage.directions(opensAt, after(opensAt, hours(6))).map(({ at }) => at)
    const happened = turns(after(opensAt, seconds(1)), after(opensAt, hours(6))).slice(1)
    expect(happened.length).toBeGreaterThan(8)
    for (const { at } of happened)
      expect(
        said.some((moment) => Math.abs(moment - at) <= 1000),
        `${at}`,
      ).toBe(true)
  })

  it('comes in order, each thing once, in whole sentences', () => {
    const end = after(opensAt, days(1))
    const whole = stage.directions(opensAt, end)
    const pieces = Array.from({ length: 96 }, (_, quarter) => {
      const from = after(opensAt, minutes(15 * quarter))
      return stage.directions(from, after(from, minutes(15)))
    }).flat()
    expect(pieces).toEqual(whole)
    for (const { says, tryThis } of whole) {
      expect(says).toMatch(/^[A-Z].*\.$/)
      expect(tryThis).toMatch(/^[A-Z]/)
    }
  })

  it('is announced: the next is never missed', () => {
    let at = opensAt
    const found: EpochMs[] = []
    while (at < after(opensAt, hours(5))) {
      const next = stage.nextDirectionAt(at)
      expect(next).toBeGreaterThanOrEqual(at)
      found.push(next)
      at = epochMs(next + 1)
    }
    expect(found.slice(0, -1)).toEqual(
      stage
        .directions(opensAt, after(opensAt, hours(5)))
        .map((direction) => direction.at)
        .slice(0, found.length - 1),
    )
  })
})

it('from time to time something else goes wrong, for ever, one thing at a time', () => {
  const kinds = new Set<string>()
  for (let at = after(opensAt, hours(1)) as number; at < opensAt + days(4); at += 60_000) {
    const list = underWay(epochMs(at))
    expect(list.length).toBeLessThanOrEqual(1)
    for (const { kind } of list) kinds.add(kind)
  }
  expect(kinds).toEqual(
    new Set([
      'air-line-open',
      'probe-unplugged',
      'pump-stop',
      'blower-stop',
      'gateway-lost',
      'heater-failure',
    ]),
  )
  const yearLater = turns(after(opensAt, days(365)), after(opensAt, days(365.2)))
  expect(yearLater.length).toBeGreaterThan(6)
})
