import { aboveZero, inside, zeroOrMore } from '../units/range.js'
import {
  celsius,
  cubicMetres,
  inHours,
  joulesPerKelvin,
  squareMetres,
  wattsPerKelvin,
  type Celsius,
  type CubicMetres,
  type InHours,
  type Percent,
  type PerHour,
  type SquareMetres,
  type WattsPerKelvin,
  type WattsPerSquareMetreKelvin,
} from '../units/brands.js'
import { houseLossPerKelvin } from './heat-loss.js'
import type { ColdHouse, ColdLimit } from './hours-until-cold.js'
import { longestNight, nightFall, steadyOutside, type OutsideCourse } from './outside-course.js'

// What a keeper knows of a house is its size and the maker's U-value. The rest is common practice, and so wide that the
// answer needs an interval. None of it is fitted to any house.

/** A house as its configuration describes it. */
export interface HouseFigures {
  readonly cover: SquareMetres
  readonly uValue: WattsPerSquareMetreKelvin
  readonly volume: CubicMetres
  readonly airChanges: PerHour
  /** Water that cools together. */
  readonly water: CubicMetres
  readonly waterToAir: WattsPerKelvin
  readonly openWater: SquareMetres
  readonly humidity: Percent
  /** How long the air takes to cool, as a multiple of the usual, where the house itself told it (cooling-pace.ts). */
  readonly airPace: number | null
}

/** One basin: its water, its surface if that is known, and whether crops or media cover it. */
export interface Basin {
  readonly volume: CubicMetres
  readonly surface: SquareMetres | null
  readonly covered: boolean
}

/**
 * W/(m2.K) of the wet surface and walls of a basin. Between a lidded, insulated basin (1 to 2) and bare plastic in still
 * air (7 to 10: ISO 6946 surface resistances 0.10 to 0.13 m2.K/W, from memory); rafts of foam and media halve it.
 */
const basinUValue = { open: 4, covered: 2 } as const

/** Surface of a round basin a little less deep than wide, where nobody said it. Unit: m2. @source common practice */
const surfaceOf = ({ volume, surface }: Basin): number => surface ?? volume ** (2 / 3)

/** Heat that a basin gives to the air for each kelvin, taken as round. Null unless it holds water. Unit: W/K. @source basinUValue */
export function basinConductance(basin: Basin): WattsPerKelvin | null {
  const surface = surfaceOf(basin)
  if (!inside(aboveZero, basin.volume) || !inside(aboveZero, surface)) return null
  const walls = (2 * Math.sqrt(Math.PI * surface) * basin.volume) / surface
  return wattsPerKelvin(basinUValue[basin.covered ? 'covered' : 'open'] * (surface + walls))
}

/** Of a tank's surface so much is open: half under a lid to all of it (common practice). */
const openShare = 0.7

/** Water from which the air can take vapour; none under crops. Unit: m2. @source openShare */
export const openWaterOf = (basin: Basin): SquareMetres =>
  squareMetres(basin.covered ? 0 : openShare * surfaceOf(basin))

/** Water that warms the air of the house while it cools. */
export interface CoolingWater {
  readonly volume: CubicMetres
  readonly waterToAir: WattsPerKelvin
  readonly openWater: SquareMetres
}

/**
 * All water of a loop, cooling as one of its basins does. With the pump running the basin cools with the loop; with the
 * pump standing, as in an outage, by itself, which is mostly sooner: it has more surface for its water. Nobody knows which
 * it will be, so it is taken halfway (by ratio). With `own` null all of it cools alike. Null without water.
 */
export function coolingWater(loop: readonly Basin[], own: Basin | null): CoolingWater | null {
  const all = sumOf(loop)
  const one = own === null ? all : sumOf([own])
  if (!(all.volume > 0 && one.volume > 0)) return null
  const halfway = (part: number, whole: number): number =>
    whole * Math.sqrt(whole > 0 ? part / one.waterToAir / (whole / all.waterToAir) : 1)
  return {
    volume: cubicMetres(halfway(one.volume, all.volume)),
    waterToAir: wattsPerKelvin(all.waterToAir),
    openWater: squareMetres(halfway(one.openWater, all.openWater)),
  }
}

function sumOf(basins: readonly Basin[]): Readonly<Record<keyof CoolingWater, number>> {
  const sum = { volume: 0, waterToAir: 0, openWater: 0 }
  for (const basin of basins) {
    const waterToAir = basinConductance(basin)
    if (waterToAir === null) continue
    sum.volume += basin.volume
    sum.waterToAir += waterToAir
    sum.openWater += openWaterOf(basin)
  }
  return sum
}

/**
 * J/(m3.K) of the air and what follows it within the hour: 50 kJ for each m2 of floor (half of what soil takes up in an
 * hour: 2 e sqrt(t/pi) with e = 1400 J/(m2.K.s^0.5), benches, crop) under 3.5 m of air.
 * @source heat of a half-space (first principles); height and the half are common practice
 */
const heatPerVolume = 1207 + 50_000 / 3.5

/** Factors between which the truth lies four times out of five: common practice, see where each is used. */
const spread = {
  /** Wind, wet and old covers, drawn screens. */
  loss: [0.8, 1.25],
  /** Bare ground and stores of water against benches on gravel. */
  airHeat: [0.45, 2],
  /** Lids, insulation, moving air. */
  /** The same once the house's own falls have been seen. */
  learntAirHeat: [0.75, 1.35],
  waterToAir: [0.6, 1.6],
  openWater: [0.6, 1.45],
} as const satisfies Record<string, readonly [number, number]>

/**
 * Not all is off to the same side at once: of n alike and independent errors the sum goes by 1/sqrt(n) of all together;
 * four or five, not quite alike, are taken.
 */
const together = 0.6

/** Whether everything conspires to make it cold soon, or late. */
export type Side = 'soon' | 'usual' | 'late'

const factor = ([low, high]: readonly [number, number], up: boolean): number => (up ? high : low) ** together
const fromTo = (usual: number, end: number): number => usual + together * (end - usual)

/**
 * The two bodies of a house, usual or with everything a little to one side. Warm water holds up the air: what hastens the
 * one delays the other. Null where a figure is not above zero (air changes may be zero).
 */
export function coldHouse(figures: HouseFigures, of: ColdLimit['of'], side: Side): ColdHouse | null {
  const { cover, uValue, volume, airChanges, airPace } = figures
  const perKelvin = houseLossPerKelvin({ area: cover, uValue }, { volume, airChanges })
  if (perKelvin === null || !inside(zeroOrMore, figures.openWater)) return null
  const at = (range: readonly [number, number], hastens: boolean): number =>
    side === 'usual' ? 1 : factor(range, hastens === (side === 'soon'))
  const airSpread = airPace === null ? spread.airHeat : spread.learntAirHeat
  const bodies = {
    waterHeat: joulesPerKelvin(figures.water * 4_186_000),
    airHeat: joulesPerKelvin(volume * heatPerVolume * (airPace ?? 1) * at(airSpread, false)),
    waterToAir: wattsPerKelvin(figures.waterToAir * at(spread.waterToAir, of === 'water')),
    airToOutside: wattsPerKelvin(perKelvin * at(spread.loss, true)),
  }
  if (!Object.values(bodies).every((value) => inside(aboveZero, value))) return null
  const openWater = squareMetres(figures.openWater * at(spread.openWater, true))
  return { bodies, openWater, humidity: figures.humidity }
}

/** K by which the forecast of a night's minimum is off, four times out of five (common practice: a day ahead). */
const forecastError = 2.5

/** What is known of the coming night. */
export interface Outlook {
  readonly now: Celsius
  /** Null without a forecast. */
  readonly forecast: Celsius | null
  /** Null where the sun does not rise, or the place is not known. */
  readonly hoursUntilSunrise: InHours | null
}

/** The course of the air outdoors: towards the forecast minimum at sunrise, or by `nightFall` where there is none. */
export function courseOf({ now, forecast, hoursUntilSunrise }: Outlook, side: Side): OutsideCourse {
  if (hoursUntilSunrise === null) {
    const coldest = forecast === null ? now : Math.min(now, forecast)
    return steadyOutside(celsius(coldest + (side === 'usual' ? 0 : side === 'soon' ? -2 : 1)))
  }
  const colder = { usual: 0, soon: -forecastError * together, late: forecastError * together }[side]
  const rate = {
    usual: nightFall.usual,
    soon: fromTo(nightFall.usual, nightFall.high),
    late: fromTo(nightFall.usual, nightFall.low),
  }[side]
  const lowest =
    forecast === null ? now - rate * Math.min(hoursUntilSunrise, longestNight) : forecast + colder
  return { now, lowest: celsius(lowest), hoursUntilLowest: inHours(Math.min(hoursUntilSunrise, 23.9)) }
}
