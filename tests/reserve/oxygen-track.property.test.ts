import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { evenNoise, normalNoise } from '../../daemon/practice/noise.js'
import { beginTrack, expectRate, followOxygen, trackAt } from '../../daemon/reserve/oxygen-track.js'
import { after, epochMs, seconds } from '../../daemon/units/time.js'

const start = epochMs(1_800_000_000_000)
const lag = 35 / 3600

interface Probe {
  readonly seed: number
  readonly noise: number
  readonly every: number
  readonly minutes: number
}

/** A probe of the first order over a course of oxygen, mg/L by hour; what it says, with trembling. */
function read(course: (hours: number) => number, { seed, noise, every, minutes }: Probe) {
  const readings: { at: ReturnType<typeof after>; value: number; truth: number }[] = []
  let felt = course(0)
  for (let second = 0, turn = 0; second <= 60 * minutes; second += 1) {
    felt += (course(second / 3600) - felt) * (1 - Math.exp(-1 / (lag * 3600)))
    if (second % every !== 0) continue
    const value = felt + noise * normalNoise({ seed, stream: 1 }, turn)
    readings.push({ at: after(start, seconds(second)), value, truth: course(second / 3600) })
    turn += 1
  }
  return readings
}

const follow = (readings: ReturnType<typeof read>) =>
  readings
    .slice(1)
    .reduce(
      (track, { at, value }) => followOxygen(track, at, value, lag),
      beginTrack(start, readings[0]?.value ?? 0),
    )

const probe = fc.record({
  seed: fc.integer({ min: 1, max: 1e6 }),
  noise: fc.double({ min: 0.005, max: 0.1, noNaN: true }),
  every: fc.constantFrom(5, 10, 15, 30, 60),
  minutes: fc.integer({ min: 25, max: 40 }),
})

describe('the track of a tank’s oxygen', () => {
  it('finds level and rate of a steady course within what it says of itself, however the probe lags and trembles', () => {
    const rate = fc.double({ min: -8, max: 2, noNaN: true })
    let [outside, all] = [0, 0]
    fc.assert(
      fc.property(probe, rate, (how, perHour) => {
        const readings = read((hours) => 9 + perHour * hours, how)
        const now = trackAt(follow(readings), 0, lag)
        const truth = readings.at(-1)?.truth ?? NaN
        all += 2
        if (Math.abs(now.rate - perHour) > 2 * now.rateDeviation) outside += 1
        if (Math.abs(now.oxygen - truth) > 2 * now.oxygenDeviation) outside += 1
        expect(Math.abs(now.rate - perHour)).toBeLessThan(5 * now.rateDeviation)
        expect(Math.abs(now.oxygen - truth)).toBeLessThan(5 * now.oxygenDeviation)
      }),
      { numRuns: 300 },
    )
    // Two standard deviations: one in twenty, and some more where the trembling is not yet learnt.
    expect(outside / all).toBeLessThan(0.1)
  })

  it('corrects the lag: in a fall it is nearer to the water than the probe is', () => {
    fc.assert(
      fc.property(fc.double({ min: -10, max: -3, noNaN: true }), (perHour) => {
        const readings = read((hours) => 9 + perHour * hours, {
          seed: 3,
          noise: 0.005,
          every: 15,
          minutes: 30,
        })
        const last = readings.at(-1)
        const now = trackAt(follow(readings), 0, lag)
        expect(Math.abs(now.oxygen - (last?.truth ?? NaN))).toBeLessThan(
          Math.abs((last?.value ?? NaN) - (last?.truth ?? NaN)) / 2,
        )
      }),
    )
  })

  it('notices within five minutes that a dense tank began to fall', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 500 }),
        fc.double({ min: -8, max: -4, noNaN: true }),
        (seed, perHour) => {
          const begins = 20 / 60
          const course = (hours: number) => 6.5 + perHour * Math.max(0, hours - begins)
          const now = trackAt(follow(read(course, { seed, noise: 0.02, every: 15, minutes: 25 })), 0, lag)
          expect(now.rate).toBeLessThan(0.6 * perHour)
        },
      ),
    )
  })

  it('passes over a single spike, and believes what stays', () => {
    const quiet = follow(read(() => 6, { seed: 9, noise: 0.02, every: 15, minutes: 20 }))
    const then = (n: number) => after(quiet.at, seconds(15 * n))
    const spiked = followOxygen(quiet, then(1), 2.5, lag)
    expect(trackAt(spiked, 0, lag).oxygen).toBeCloseTo(trackAt(quiet, 0, lag).oxygen, 1)
    const stays = [2, 3].reduce((track, n) => followOxygen(track, then(n), 2.5, lag), spiked)
    expect(trackAt(stays, 0, lag).oxygen).toBeCloseTo(2.5, 1)
  })

  it('takes no harm from readings of the same moment or earlier', () => {
    const quiet = follow(read(() => 6, { seed: 9, noise: 0.02, every: 15, minutes: 20 }))
    expect(followOxygen(quiet, quiet.at, 1, lag)).toBe(quiet)
    expect(followOxygen(quiet, start, 1, lag)).toBe(quiet)
  })

  it('begins anew after a silence of an hour', () => {
    const quiet = follow(read((hours) => 8 - 3 * hours, { seed: 9, noise: 0.02, every: 15, minutes: 20 }))
    const later = followOxygen(quiet, after(quiet.at, seconds(3600)), 5, lag)
    expect(later).toEqual(beginTrack(later.at, 5))
  })

  it('turns at once when told that the air is gone, and lets the readings correct that', () => {
    const quiet = follow(read(() => 6, { seed: 9, noise: 0.02, every: 15, minutes: 20 }))
    const told = expectRate(quiet, -4, 2)
    expect(trackAt(told, 0, lag)).toMatchObject({ rate: -4, rateDeviation: 2 })
    const falls = Array.from({ length: 40 }, (_, n) => n + 1).reduce(
      (track, n) =>
        followOxygen(
          track,
          after(quiet.at, seconds(15 * n)),
          6 -
            (6 * 15 * n) / 3600 +
            6 * lag * (1 - Math.exp((-15 * n) / (3600 * lag))) +
            0.02 * (evenNoise({ seed: 1, stream: 2 }, n) - 0.5),
          lag,
        ),
      told,
    )
    expect(trackAt(falls, 0, lag).rate).toBeCloseTo(-6, 0)
  })
})
