import { conductionLoss, infiltrationLoss, type InAndOut } from '../heat/heat-loss.js'
import {
  watts,
  type CubicMetres,
  type PerHour,
  type SquareMetres,
  type Watts,
  type WattsPerSquareMetreKelvin,
} from '../units/brands.js'
import { airTemperature } from './common-inputs.js'
import { derivation } from './derivation.js'
import { lossInputs } from './house-figures.js'
import { outsideTemperature } from './house-inputs.js'

interface Loss extends InAndOut {
  readonly cover: SquareMetres
  readonly uValue: WattsPerSquareMetreKelvin
  readonly volume: CubicMetres
  readonly airChanges: PerHour
}

/** Through the cover and with leaking air, without its vapour. Null outside -60 to 60 degC. Unit: W. @source HT-3, HT-4 */
export function heatLossOf({ cover, uValue, volume, airChanges, ...air }: Loss): Watts | null {
  const [through, leaking] = [conductionLoss(cover, uValue, air), infiltrationLoss(volume, airChanges, air)]
  return through === null || leaking === null ? null : watts(through + leaking)
}

/** What the house loses now; below zero it is warmed from outside. */
export const heatLoss = derivation('heat_loss', {
  places: ['air'],
  inputs: { inside: airTemperature, outside: outsideTemperature, ...lossInputs },
  compute: heatLossOf,
  equation: 'HT-3',
  source: 'University of Georgia Cooperative Extension (cover); first principles (leaks, HT-4)',
  valid: '-60 to 60 degC, no sun',
})
