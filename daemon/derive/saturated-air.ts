import { percent, type Percent } from '../units/brands.js'

/**
 * Humidity probes read a little above 100 % in fog and when wet; the air is then saturated and nothing more (common
 * practice). What is impossible was judged bad before it comes here.
 */
export const atMostSaturated = (humidity: Percent): Percent => percent(Math.min(humidity, 100))
