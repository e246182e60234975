import { between, type EpochMs } from '../units/time.js'

/**
 * Where a tank's oxygen is and where it goes, as far as a probe that lags and trembles can tell: a Kalman filter (Kalman
 * 1960) of three numbers, the oxygen, what the probe feels of it (a lag of the first order) and the rate of change,
 * which wanders. Plain data; nothing but readings and what is known of the air changes it.
 */
export interface OxygenTrack {
  /** Of the last reading that was taken in. */
  readonly at: EpochMs
  readonly since: EpochMs
  /** mg/L, mg/L as felt, mg/(L.h) */
  readonly state: Vector
  /** Their covariance, row by row; symmetric. */
  readonly spread: Matrix
  /** Variance of the probe's trembling, (mg/L)2, learnt. */
  readonly noise: number
  /** What notices a changed rate, falling and rising. */
  readonly sums: readonly [falling: RunningSum, rising: RunningSum]
  /** Readings in a row that were too far off to be believed. */
  readonly offBeat: number
  readonly readings: number
}

/** Page's cumulative sum, and when it was last zero: there the change began, if there is one. */
interface RunningSum {
  readonly sum: number
  readonly zeroAt: EpochMs
}

type Vector = readonly [number, number, number]
type Matrix = readonly [number, number, number, number, number, number, number, number, number]

/** Variance of the rate's wandering, (mg/L/h)2 per hour: half a unit in half an hour (common practice). */
const wandering = 0.5
/** A rate of this size may begin at any moment, mg/(L.h): what a dense tank breathes (common practice). */
const suddenRate = 4
/** Trembling of a probe not yet known, and the least that any has, mg/L. */
const usualNoise = 0.05
const leastNoise = 0.02
/** Beyond so many standard deviations a single reading is a spike; three in a row are the truth. */
const spike = 4.5
/**
 * Page's cumulative sums over the scaled surprises: half a standard deviation is let pass; at 6 something has changed.
 * On noise alone that is reached about once in 30,000 readings for each side (Siegmund's approximation).
 */
const letPass = 0.5
const noticed = 6
/** A longer silence tells nothing of what happened meanwhile: begin anew. */
const longestGapHours = 0.75

export function beginTrack(at: EpochMs, oxygen: number): OxygenTrack {
  const level = usualNoise ** 2
  return {
    at,
    since: at,
    state: [oxygen, oxygen, 0],
    // The probe has felt its water for long, so it agrees with it up to its lag.
    spread: [4 * level, 2 * level, 0, 2 * level, 2 * level, 0, 0, 0, suddenRate ** 2 / 4],
    noise: level,
    sums: nothingNoticed(at),
    offBeat: 0,
    readings: 1,
  }
}

const nothingNoticed = (at: EpochMs): OxygenTrack['sums'] => [
  { sum: 0, zeroAt: at },
  { sum: 0, zeroAt: at },
]

/** Takes in one reading (mg/L); `lag` is the time in which the probe shows 63 % of a change, in hours. */
export function followOxygen(track: OxygenTrack, at: EpochMs, oxygen: number, lag: number): OxygenTrack {
  const hours = between(track.at, at) / 3_600_000
  if (hours <= 0) return track
  if (hours > longestGapHours) return beginTrack(at, oxygen)
  const ahead = predict(track, hours, lag)
  const surprise = oxygen - ahead.state[1]
  const expected = ahead.spread[4] + track.noise
  const scaled = surprise / Math.sqrt(expected)
  if (Math.abs(scaled) > spike) {
    const offBeat = track.offBeat + 1
    if (offBeat < 3) return { ...track, ...ahead, at, offBeat }
    // A spike is passed over; what stays is believed, and where it came from is open.
    const open = leapt(turnedAgo(ahead, suddenRate, 0, lag), surprise)
    return { ...track, ...correct(open, surprise, track.noise), at, sums: nothingNoticed(at), offBeat: 0 }
  }
  const falling = summed(track.sums[0], -scaled, at)
  const rising = summed(track.sums[1], scaled, at)
  const noticedIn = [falling, rising].find(({ sum }) => sum > noticed)
  const doubted =
    noticedIn === undefined
      ? ahead
      : turnedAgo(ahead, suddenRate, between(noticedIn.zeroAt, at) / 3_600_000, lag)
  return {
    ...track,
    ...correct(doubted, surprise, track.noise),
    at,
    noise: learntNoise(track, surprise, ahead.spread[4], noticedIn !== undefined),
    sums: noticedIn === undefined ? [falling, rising] : nothingNoticed(at),
    offBeat: 0,
    readings: track.readings + 1,
  }
}

const summed = ({ sum, zeroAt }: RunningSum, scaled: number, at: EpochMs): RunningSum => {
  const next = sum + scaled - letPass
  return next > 0 ? { sum: next, zeroAt } : { sum: 0, zeroAt: at }
}

/** The air came or went: from now on the rate is expected to be `rate`, give or take. mg/(L.h) */
export function expectRate(track: OxygenTrack, rate: number, giveOrTake: number): OxygenTrack {
  const [level, felt] = track.state
  const [a, b, , c, d] = track.spread
  return {
    ...track,
    state: [level, felt, rate],
    spread: [a, b, 0, c, d, 0, 0, 0, giveOrTake ** 2],
    sums: nothingNoticed(track.at),
  }
}

/** Oxygen now (mg/L) and its rate (mg/(L.h)), each with its standard deviation, `hours` after the last reading. */
export function trackAt(
  track: OxygenTrack,
  hours: number,
  lag: number,
): { oxygen: number; oxygenDeviation: number; rate: number; rateDeviation: number } {
  const { state, spread } = hours > 0 ? predict(track, hours, lag) : track
  return {
    oxygen: state[0],
    oxygenDeviation: Math.sqrt(Math.max(0, spread[0])),
    rate: state[2],
    rateDeviation: Math.sqrt(Math.max(0, spread[8])),
  }
}

interface Belief {
  readonly state: Vector
  readonly spread: Matrix
}

/** Where things stand `hours` later: the oxygen runs on at its rate, the probe follows it. */
function predict({ state, spread }: Belief, hours: number, lag: number): Belief {
  const [level, felt, rate] = state
  const keeps = lag > 0 ? Math.exp(-hours / lag) : 0
  // What the probe takes over of the level, and of a level that moves.
  const [follows, trails] = [1 - keeps, hours - lag * (1 - keeps)]
  const [a, b, c, , e, f, , , i] = spread
  // F P F', F = [1 0 t; follows keeps trails; 0 0 1], written out.
  const levelRate = c + hours * i
  const feltRate = follows * c + keeps * f + trails * i
  const levelFelt = follows * a + keeps * b + trails * c + hours * feltRate
  const feltFelt =
    follows * (follows * a + 2 * keeps * b + 2 * trails * c) +
    keeps * (keeps * e + 2 * trails * f) +
    trails * trails * i
  const levelLevel = a + hours * (2 * c + hours * i)
  // The rate's wandering, and through it that of the level (integrated random walk).
  const [q1, q2, q3] = [wandering * hours, (wandering * hours ** 2) / 2, (wandering * hours ** 3) / 3]
  return {
    state: [level + rate * hours, follows * level + keeps * felt + trails * rate, rate],
    spread: [
      levelLevel + q3, levelFelt, levelRate + q2,
      levelFelt, feltFelt, feltRate,
      levelRate + q2, feltRate, i + q1,
    ],
  } // prettier-ignore
}

/** Bends the belief towards what was read. */
function correct({ state, spread }: Belief, surprise: number, noise: number): Belief {
  const [a, b, c, , e, f, , , i] = spread
  const scale = 1 / (e + noise)
  const [onLevel, onFelt, onRate] = [b * scale, e * scale, f * scale]
  return {
    state: [state[0] + onLevel * surprise, state[1] + onFelt * surprise, state[2] + onRate * surprise],
    spread: symmetric(
      [a - onLevel * b, b - onLevel * e, c - onLevel * f],
      [e - onFelt * e, f - onFelt * f],
      i - onRate * f,
    ),
  }
}

const symmetric = (
  [a, b, c]: readonly [number, number, number],
  [e, f]: readonly [number, number],
  i: number,
): Matrix => [a, b, c, b, e, f, c, f, i]

/**
 * The same belief, open for a rate that turned by about `size` some `hours` ago: level and what the probe feels of it
 * have then moved along already, and all three together.
 */
function turnedAgo({ state, spread }: Belief, size: number, hours: number, lag: number): Belief {
  const [a, b, c, , e, f, , , i] = spread
  const level = size * hours
  const felt = size * (hours - (lag > 0 ? lag * (1 - Math.exp(-hours / lag)) : 0))
  return {
    state,
    spread: symmetric(
      [a + level * level, b + level * felt, c + level * size],
      [e + felt * felt, f + felt * size],
      i + size * size,
    ),
  }
}

/** The same belief, open for a leap of the level that the probe shows already. */
function leapt({ state, spread }: Belief, size: number): Belief {
  const [a, b, c, , e, f, , , i] = spread
  const more = size ** 2
  return { state, spread: symmetric([a + more, b + more, c], [e + more, f], i) }
}

/** The trembling that explains the surprises, slowly; a change of course is not the probe's fault. */
function learntNoise(track: OxygenTrack, surprise: number, felt: number, changed: boolean): number {
  if (changed) return track.noise
  const share = Math.max(0.02, 1 / (track.readings + 5))
  const seen = Math.min(surprise ** 2, 9 * (felt + track.noise)) - felt
  return Math.max(leastNoise ** 2, track.noise + share * (seen - track.noise))
}
