import { tomorrow } from './nitrogen-tomorrow.js'

/** Total ammonia of the water of a filter in a day. */
export const ammoniaTomorrow = tomorrow('ammonia', 'total_ammonia_nitrogen_tomorrow')
