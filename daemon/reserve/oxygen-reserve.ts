import { between, minutes, type EpochMs } from '../units/time.js'
import {
  airToExpect,
  demandToExpect,
  learnAir,
  learnDemand,
  nothingLearnt,
  together,
  type LearntDemand,
} from './demand.js'
import { beginTrack, expectRate, followOxygen, trackAt, type OxygenTrack } from './oxygen-track.js'
import { timeToLevel, type Guess, type TimeToLevel } from './time-to-level.js'

/** How long a tank's oxygen lasts: learnt from its readings, told for any moment. Plain data. */
export interface OxygenReserve {
  readonly track: OxygenTrack | null
  readonly learnt: LearntDemand
  /** The draw-down under way; null while the air runs. */
  readonly drawDown: DrawDown | null
}

interface DrawDown {
  readonly since: EpochMs
  /** What was known when it began. */
  readonly before: LearntDemand
  /** Deficit that the air had held, at the temperature factor of then, mg/L; null when it was not steady or not there. */
  readonly heldDeficit: number | null
}

/** Whether air is blown in, and whether water runs through, by what the equipment says. */
export interface Supply {
  /** 'none': nothing is declared that blows air into this tank. */
  readonly air: 'running' | 'lost' | 'unknown' | 'none'
  readonly water: 'running' | 'lost' | 'unknown'
}

/** A tank and its water at a moment. */
export interface TankNow {
  readonly at: EpochMs
  readonly supply: Supply
  /** mg/L in balance with the air */
  readonly saturation: number
  /** Cel */
  readonly temperature: number
  /** mg/(L.h) that species, mass and feed let one expect */
  readonly expectedDemand: number
  /** m of water under each m2 of surface */
  readonly depth: number
  /** Volumes of the tank that run through it in an hour; null when not known. */
  readonly turnover: number | null
  /** h until the probe shows 63 % of a change */
  readonly lag: number
}

/**
 * Gas transfer through a resting surface, m/h. @source about 2 to 4 cm/h without wind (Cole & Caraco 1998, from memory);
 * fish that swim stir it, common practice
 */
const surfaceTransfer: Guess = { value: 0.06, logDeviation: 0.6 }
/** Water that comes in is as good as that which leaves the other tanks: its share is known to a third (common practice). */
const turnoverDeviation = 0.35
/** Calibration of an oxygen probe, and what tank water holds less than clean water, mg/L (common practice). */
const deficitDeviation = 0.25
/** @source ASCE/EWRI 2-06: beta of waters with salt and soap 0.95 to 1 */
const beta = 0.97
/** @source ASCE/EWRI 2-06 */
const theta = 1.024
/** From then on the slope of a draw-down is its own, not that of the time before. */
const settled = minutes(4)
/** A trend is told once it has been watched so long, and so many readings. */
const youngest = { time: minutes(3), readings: 6 } as const

export const emptyReserve = (at: EpochMs): OxygenReserve => ({
  track: null,
  learnt: nothingLearnt(at),
  drawDown: null,
})

/** Takes in a reading of the tank's oxygen, mg/L. */
export function followReserve(reserve: OxygenReserve, tank: TankNow, oxygen: number): OxygenReserve {
  const current = noteSupply(reserve, tank)
  const track =
    current.track === null
      ? beginTrack(tank.at, oxygen)
      : followOxygen(current.track, tank.at, oxygen, tank.lag)
  return learn({ ...current, track }, tank)
}

/** The air came or went: the course turns at once, before the probe can show it. */
export function noteSupply(reserve: OxygenReserve, tank: TankNow): OxygenReserve {
  const { track, drawDown } = reserve
  if (track === null) return reserve
  if (tank.supply.air === 'none') return noteNightDecline(reserve, track, tank)
  const lost = tank.supply.air === 'lost'
  if (lost === (drawDown !== null)) return reserve
  const now = trackNow(track, tank)
  const demand = demandNow(reserve, tank)
  if (!lost) {
    return {
      ...reserve,
      drawDown: null,
      track: expectRate(track, Math.max(now.rate, 0), 2 * demand.value),
    }
  }
  const deficit = beta * tank.saturation - now.oxygen
  const steady = track.readings >= youngest.readings && Math.abs(now.rate) < 0.5 * demand.value
  const still = transferWithoutAir(tank)
  return {
    ...reserve,
    drawDown: {
      since: tank.at,
      before: reserve.learnt,
      heldDeficit: steady ? deficit : null,
    },
    track: expectRate(
      track,
      still.value * deficit - demand.value,
      Math.max(0.5, demand.value * demand.logDeviation),
    ),
  }
}

/** Where nothing blows air in, every clear decline, as at night when plants no longer give oxygen, is a draw-down. */
function noteNightDecline(reserve: OxygenReserve, track: OxygenTrack, tank: TankNow): OxygenReserve {
  const { rate, rateDeviation } = trackNow(track, tank)
  const share = -rate / tank.expectedDemand
  if (reserve.drawDown !== null) return share < 0.1 ? { ...reserve, drawDown: null } : reserve
  if (share < 0.3 || -rate < 2 * rateDeviation) return reserve
  return { ...reserve, drawDown: { since: tank.at, before: reserve.learnt, heldDeficit: null } }
}

/** The lag of a probe is known to a third: what it has not yet shown is as doubtful. */
const lagDeviation = 1 / 3

function trackNow(track: OxygenTrack, { at, lag }: TankNow): ReturnType<typeof trackAt> {
  const now = trackAt(track, Math.max(0, between(track.at, at)) / 3_600_000, lag)
  return { ...now, oxygenDeviation: Math.hypot(now.oxygenDeviation, now.rate * lag * lagDeviation) }
}

/** What a draw-down teaches, as long as it lasts. */
function learn(reserve: OxygenReserve, tank: TankNow): OxygenReserve {
  const { track, drawDown } = reserve
  if (track === null || drawDown === null || between(drawDown.since, tank.at) < settled) return reserve
  const now = trackNow(track, tank)
  const still = transferWithoutAir(tank)
  const deficit = Math.max(0, beta * tank.saturation - now.oxygen)
  const demand = still.value * deficit - now.rate
  const deviation = Math.hypot(now.rateDeviation, still.value * still.logDeviation * deficit)
  // Below a fifth of what is to be expected something still gives air: that teaches nothing.
  if (demand < tank.expectedDemand / 5 || deviation > demand / 2) return reserve
  const guess = { value: demand, logDeviation: deviation / demand }
  const learnt = learnDemand(drawDown.before, { at: tank.at, demand: guess, expected: tank.expectedDemand })
  const held = drawDown.heldDeficit
  if (held === null || held < 2 * deficitDeviation) return { ...reserve, learnt }
  const coefficient = demand / held / theta ** (tank.temperature - 20)
  const logDeviation = Math.hypot(guess.logDeviation, deficitDeviation / held)
  return { ...reserve, learnt: learnAir(learnt, tank.at, { value: coefficient, logDeviation }) }
}

/** What the resting surface, and the water that still runs through, bring in, 1/h. */
function transferWithoutAir({ depth, turnover, supply, temperature }: TankNow): Guess {
  const surface = (surfaceTransfer.value / depth) * theta ** (temperature - 20)
  const through = supply.water === 'running' ? (turnover ?? 0) : 0
  const value = surface + through
  const deviation = Math.hypot(surface * surfaceTransfer.logDeviation, through * turnoverDeviation)
  return { value, logDeviation: deviation / value }
}

/**
 * What the tank breathes now, mg/(L.h): by what was learnt of it and the hour's usual ups and downs, by the deficit that
 * the running air holds, and by the slope while there is no air.
 */
export function demandNow(reserve: OxygenReserve, tank: TankNow): Guess {
  const { track, learnt, drawDown } = reserve
  const usual = demandToExpect(learnt, tank.at, tank.expectedDemand)
  if (track === null) return usual
  const now = trackNow(track, tank)
  const deficit = beta * tank.saturation - now.oxygen
  if (drawDown !== null) {
    // The track began it with what was to be expected and has bent to the readings since: it holds both.
    const still = transferWithoutAir(tank)
    const demand = still.value * Math.max(0, deficit) - now.rate
    if (demand < tank.expectedDemand / 5) return usual
    const deviation = Math.hypot(now.rateDeviation, still.value * still.logDeviation * deficit)
    return { value: demand, logDeviation: deviation / demand }
  }
  const air = airToExpect(learnt, tank.at)
  if (air === null || tank.supply.air !== 'running') return usual
  const demand = air.value * theta ** (tank.temperature - 20) * deficit - now.rate
  if (deficit < 2 * deficitDeviation || demand < tank.expectedDemand / 5) return usual
  const deviation = Math.hypot(air.logDeviation, deficitDeviation / deficit, now.rateDeviation / demand)
  return together(usual, { value: demand, logDeviation: deviation })
}

const isStill = ({ supply }: TankNow): boolean => supply.air === 'lost' || supply.air === 'none'

/** How much the demand may yet turn on the way: fish calm down or wake up within minutes (common practice). */
const turns = 0.08

/** A time, or in words why none can be told. */
export type Left = TimeToLevel | { readonly unknown: string }

/**
 * (a) If the air stopped now, and the water that runs through with it: a power cut. Once the air has stopped, what still
 * runs counts.
 */
export function leftIfAirStops(reserve: OxygenReserve, tank: TankNow, critical: number): Left {
  const { track } = reserve
  if (track === null) return { unknown: 'no oxygen reading yet' }
  const { oxygen, oxygenDeviation } = trackNow(track, tank)
  const demand = demandNow(reserve, tank)
  const still = isStill(tank) ? tank : { ...tank, supply: { air: 'lost', water: 'lost' } as const }
  return timeToLevel({
    oxygen,
    oxygenDeviation,
    critical,
    pull: { kind: 'demand', value: demand.value, logDeviation: Math.hypot(demand.logDeviation, turns) },
    saturation: beta * tank.saturation,
    transfer: transferWithoutAir(still),
  })
}

/** Nobody foresees oxygen further than that, minutes. */
const farthest = 24 * 60

/** (b) On the present trend: as it falls now, with what the surface gives when it has fallen. */
export function leftOnTrend(reserve: OxygenReserve, tank: TankNow, critical: number): Left {
  const { track } = reserve
  if (track === null) return { unknown: 'no oxygen reading yet' }
  const watched = between(track.since, tank.at)
  // Once the air is known to be gone, what the tank breathes stands for the trend until that has shown itself.
  const known = reserve.drawDown !== null
  if (!known && (watched < youngest.time || track.readings < youngest.readings))
    return { unknown: 'the oxygen has not been watched long enough for a trend' }
  const now = trackNow(track, tank)
  const never = { minutes: null, low: null, high: null, settlesAt: null }
  if (now.oxygen <= critical) return { minutes: 0, low: 0, high: 0, settlesAt: null }
  const fall = -now.rate
  // A fall that is not clear of the noise is none.
  if (fall <= now.rateDeviation) return never
  const left = timeToLevel({
    oxygen: now.oxygen,
    oxygenDeviation: now.oxygenDeviation,
    critical,
    pull: { kind: 'fall', value: fall, logDeviation: Math.hypot(now.rateDeviation / fall, turns) },
    saturation: beta * tank.saturation,
    // While the air is said to run it may be what fails: nothing is hoped from it.
    transfer: transferWithoutAir(isStill(tank) ? tank : { ...tank, supply: { air: 'lost', water: 'lost' } }),
  })
  return left.minutes !== null && left.minutes > farthest ? never : left
}
