import { carbonDioxide } from './carbon-dioxide.js'
import type { Derivation } from './derivation.js'
import { dewPoint } from './dew-point.js'
import { oxygenSaturation } from './oxygen-saturation.js'
import { salinityOfWater } from './salinity.js'
import { unionisedAmmonia } from './unionised-ammonia.js'
import { vapourPressureDeficit } from './vapour-pressure-deficit.js'

/**
 * Everything that is computed from signals, one line each. What others are made from stands before them.
 */
export const derivations: readonly Derivation[] = [
  salinityOfWater,
  oxygenSaturation,
  unionisedAmmonia,
  carbonDioxide,
  dewPoint,
  vapourPressureDeficit,
]
