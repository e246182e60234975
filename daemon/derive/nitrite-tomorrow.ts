import { tomorrow } from './nitrogen-tomorrow.js'

/** Nitrite of the water of a filter in a day; where somebody measures nitrite. */
export const nitriteTomorrow = tomorrow('nitrite', 'nitrite_nitrogen_tomorrow')
