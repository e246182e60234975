import { respire } from './gases.js'
import { meals, type TankFigures } from './larkfield.js'
import { oxygenOf, temperatureOf, type WaterDraft } from './water.js'

/** What lives and lies in one tank. */
export interface Stock {
  /** g of feed in the fish, not yet digested */
  readonly gut: number
  /** g of feed that nobody ate */
  readonly leftOver: number
  /** g of oxygen that the droppings on walls and floor will still take */
  readonly film: number
}
export type StockDraft = { -readonly [part in keyof Stock]: Stock[part] }

/** What a step of the stock asks of the rest of the farm. */
export interface StockTurn {
  /** g of oxygen: by the fish, by bacteria in the tank */
  readonly breathed: number
  readonly rotted: number
  /** g N set free as ammonia */
  readonly nitrogen: number
  /** g of oxygen that droppings washed to the biofilter will take there */
  readonly washedOut: number
}

export interface StockWeather {
  /** g of feed that falls into the tank in this step */
  readonly feed: number
  /** 0 at night to 1 in full daylight */
  readonly daylight: number
  /** Whether a meal is going on. */
  readonly mealtime: boolean
  /** A restless hour or a calm one, about 1. */
  readonly mood: number
}

/**
 * Resting respiration of Nile tilapia, mg O2/(kg.h); `mass` in g, below 41 degrees.
 * @source Deslauriers et al. (2017), Fish Bioenergetics 4.0, tilapia (Nitithamyong 1988), equation 2 of Kitchell et al. 1977
 */
export function restingRespiration(mass: number, temperature: number): number {
  const [most, optimum, quotient] = [41, 37, 2.3]
  const room = Math.max(0, (most - temperature) / (most - optimum))
  const z = Math.log(quotient) * (most - optimum)
  const y = Math.log(quotient) * (most - optimum + 2)
  const bend = (z ** 2 * (1 + Math.sqrt(1 + 40 / y)) ** 2) / 400
  return (1e6 / 24) * 0.0274 * mass ** -0.348 * room ** bend * Math.exp(bend * (1 - room))
}

/**
 * Crowded fish swim: 1.7 times rest at night, 2 by day, more at meals. With digestion this gives 0.25 to 0.3 kg of
 * oxygen for 1 kg of feed. @source Timmons & Ebeling (2010), Recirculating Aquaculture: 0.25 kg/kg, fish only (the check)
 */
const activityOf = (weather: StockWeather): number =>
  weather.mood * (1.7 + 0.3 * weather.daylight + (weather.mealtime ? 0.4 : 0))

/** Digestion: half is done in about 3.5 h at 27 degrees, common practice for warm-water fish of this size. */
const digestedPerHour = 0.2
/** g O2 for digesting 1 g of feed: a thirteenth of some 16 kJ/g over 13.6 kJ/g of oxygen (from memory). */
const oxygenForDigestion = 0.09
/** @source Timmons & Ebeling (2010): ammonia N = 0.092 x feed x protein */
const nitrogenExcreted = 0.092 * meals.protein
/** All nitrogen of feed that rots: 16 % of protein. */
const nitrogenOfLeftOvers = 0.16 * meals.protein
/** g O2 for 1 g of feed as droppings that decay in the tank, and in the biofilter; the rest is caught and taken out. */
const droppings = { inTank: 0.18, inFilter: 0.05 } as const
/** g O2 for 1 g of feed that rots. @source Boyd, Oxygen demand of aquaculture feed: about 1.1 to 1.25 kg/kg */
const oxygenOfLeftOvers = 1.1
/** 1/h at 27 degrees; 1.5 a day, common practice. */
const decayPerHour = 1.5 / 24

/** Fish cannot take up what they want when oxygen is scarce: half at 0.35 mg/L (conforming below some 2 mg/L). */
const fishGet = (oxygen: number): number => oxygen / (oxygen + 0.35)
/** @source half-saturation of heterotrophs 0.2 mg/L, Activated Sludge Model No. 1 (Henze et al. 1987; from memory) */
const bacteriaGet = (oxygen: number): number => oxygen / (oxygen + 0.2)

/** 0 below 17 degrees, where tilapia stop feeding (FAO 589, chapter 7), 1 from 24 on; nobody eats below 2.5 mg/L. */
const appetite = (temperature: number, oxygen: number): number =>
  oxygen < 2.5 ? 0 : Math.min(1, Math.max(0, (temperature - 17) / 7))

/** Lets the fish of one tank live for `seconds`. Changes both drafts. */
export function liveInTank(
  tank: TankFigures,
  [stock, water]: [StockDraft, WaterDraft],
  weather: StockWeather,
  seconds: number,
): StockTurn {
  const temperature = temperatureOf(water)
  const hours = seconds / 3600
  const warmth = 1.07 ** (temperature - 27)
  const biomass = (tank.fishCount * tank.fishMass) / 1000
  eat(stock, weather.feed, { stomachs: 30 * biomass, share: appetite(temperature, oxygenOf(water)) })
  const digested = stock.gut * (1 - Math.exp(-digestedPerHour * warmth * hours))
  const decayed = 1 - Math.exp(-decayPerHour * warmth * bacteriaGet(oxygenOf(water)) * hours)
  const rottenFeed = stock.leftOver * decayed
  const rottenFilm = stock.film * decayed
  const wanted =
    (restingRespiration(tank.fishMass, temperature) * activityOf(weather) * biomass * hours) / 1000 +
    oxygenForDigestion * digested
  const breathed = respire(water, wanted * fishGet(oxygenOf(water)))
  const rotted = respire(water, rottenFilm + oxygenOfLeftOvers * rottenFeed)
  stock.gut -= digested
  stock.leftOver -= rottenFeed
  stock.film += droppings.inTank * digested - rottenFilm
  const nitrogen = nitrogenExcreted * digested + nitrogenOfLeftOvers * rottenFeed
  water.ammonia += nitrogen
  water.alkalinity += nitrogen / gramsPerMoleOfNitrogen
  water.carbon += nitrogen / gramsPerMoleOfNitrogen
  return { breathed, rotted, nitrogen, washedOut: droppings.inFilter * digested }
}

/** Ammonia takes up a proton when it is set free, together with carbon dioxide: one mole of bicarbonate a mole. */
const gramsPerMoleOfNitrogen = 14.007

function eat(stock: StockDraft, feed: number, fish: { stomachs: number; share: number }): void {
  const eaten = Math.min(feed * fish.share, Math.max(0, fish.stomachs - stock.gut))
  stock.gut += eaten
  stock.leftOver += feed - eaten
}

/** A tank as it stands when the same meals were fed for weeks, `hoursSinceMeal` after the last one. */
export function settledStock(tank: TankFigures, hoursSinceMeal: number): Stock {
  const meal = tank.feedPerDay / meals.at.length
  const gap = 24 / meals.at.length
  const gut = (meal * Math.exp(-digestedPerHour * hoursSinceMeal)) / (1 - Math.exp(-digestedPerHour * gap))
  return { gut, leftOver: 0, film: (droppings.inTank * tank.feedPerDay) / (decayPerHour * 24) }
}
