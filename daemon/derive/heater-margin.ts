import { heaterMargin as marginOf } from '../heat/heat-loss.js'
import { celsius } from '../units/brands.js'
import { airTemperature } from './common-inputs.js'
import { derivation } from './derivation.js'
import { heatLossOf } from './heat-loss.js'
import { lossInputs } from './house-figures.js'
import { forecastMinimum, outsideTemperature, ratedPower } from './house-inputs.js'

/**
 * What the heaters that serve the house could give beyond its loss, at the present temperature inside, and at the forecast
 * minimum outside where that is colder than now. A heater that is known to fail counts as if it worked: its own alarm
 * tells of it.
 */
export const heaterMargin = derivation('heater_margin', {
  places: ['air'],
  inputs: {
    ...{ inside: airTemperature, outside: outsideTemperature, forecast: forecastMinimum },
    ...{ rated: ratedPower, ...lossInputs },
  },
  compute: ({ rated, forecast, outside, ...house }) => {
    const coldest = celsius(Math.min(outside, forecast ?? outside))
    const loss = heatLossOf({ ...house, outside: coldest })
    return loss === null ? null : marginOf(rated, loss)
  },
  equation: 'HT-23',
  source: 'rated power less heat loss (HT-3, HT-4)',
  valid: '-60 to 60 degC, no sun',
})
