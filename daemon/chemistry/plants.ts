import {
  gramsPerDay,
  kilograms,
  squareMetres,
  type GramsPerDay,
  type GramsPerSquareMetreDay,
  type Kilograms,
  type PercentPerDay,
  type PerSquareMetre,
  type SquareMetres,
} from '../units/brands.js'

// Feed rate ratio: g of feed a day for each m2 of plants. Sources differ: 40-50 leafy, 50-80 fruiting (FAO 589),
// 57 lettuce (Rakocy 2012), 60-100 raft (SRAC 454).

/** Plants that the feed nourishes. Null unless the ratio is above zero. Unit: m2. @source Rakocy 2007 (PL-1) */
export const plantAreaForFeed = (feed: GramsPerDay, ratio: GramsPerSquareMetreDay): SquareMetres | null =>
  feed >= 0 && ratio > 0 ? squareMetres(feed / ratio) : null

/** Feed that the plants can use. Null below zero. Unit: g/d. @source FAO 589, chapter 8 (PL-2) */
export const feedForPlantArea = (area: SquareMetres, ratio: GramsPerSquareMetreDay): GramsPerDay | null =>
  area >= 0 && ratio >= 0 ? gramsPerDay(area * ratio) : null

/**
 * Area of a bed that is sown and cut every week, each head standing for that many weeks. Null unless the density is
 * above zero. Unit: m2.
 * @source FAO 589, chapter 8, worked example (PL-3)
 */
export const staggeredPlantArea = (
  sowing: { readonly headsPerWeek: number; readonly weeks: number },
  density: PerSquareMetre,
): SquareMetres | null =>
  sowing.headsPerWeek >= 0 && sowing.weeks >= 0 && density > 0
    ? squareMetres((sowing.headsPerWeek * sowing.weeks) / density)
    : null

/** Fish that eat that much at that share of their weight. Null unless the rate is above zero. Unit: kg. @source PL-4 */
export const fishForFeed = (feed: GramsPerDay, rate: PercentPerDay): Kilograms | null =>
  feed >= 0 && rate > 0 ? kilograms(feed / (rate / 100) / 1000) : null
