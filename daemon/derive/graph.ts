import { alkalinityConsumption } from './alkalinity-consumption.js'
import { ammoniaCriterion } from './ammonia-criterion.js'
import { ammoniaLoad } from './ammonia-load.js'
import { ammoniaTomorrow } from './ammonia-tomorrow.js'
import { carbonDioxide } from './carbon-dioxide.js'
import { chlorideToNitrite } from './chloride-to-nitrite.js'
import { condensationMargin } from './condensation-margin.js'
import { coverTemperature } from './cover-temperature.js'
import { cropsUntilTooCold } from './crops-until-too-cold.js'
import type { Derivation } from './derivation.js'
import { dewPoint } from './dew-point.js'
import type { Estimation } from './estimation.js'
import { evaporation } from './evaporation.js'
import { fishUntilTooCold } from './fish-until-too-cold.js'
import { frostMargin } from './frost-margin.js'
import { heatLoss } from './heat-loss.js'
import { heaterMargin } from './heater-margin.js'
import { humidityRatio } from './humidity-ratio.js'
import { nitrateGained } from './nitrate-gain.js'
import { nitrificationCapacityOfMedia } from './nitrification-capacity.js'
import { nitriteTomorrow } from './nitrite-tomorrow.js'
import { oxygenLeft } from './oxygen-left.js'
import { oxygenSaturation } from './oxygen-saturation.js'
import { phWhereAmmoniaHarms } from './ph-where-ammonia-harms.js'
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
  ammoniaCriterion,
  phWhereAmmoniaHarms,
  chlorideToNitrite,
  ammoniaLoad,
  nitrificationCapacityOfMedia,
  alkalinityConsumption,
  nitrateGained,
  dewPoint,
  vapourPressureDeficit,
  humidityRatio,
  coverTemperature,
  condensationMargin,
  frostMargin,
  heatLoss,
  heaterMargin,
  fishUntilTooCold,
  evaporation,
]

/** Those that follow from the course of a signal and keep a memory of it. */
export const estimations: readonly Estimation[] = [
  oxygenLeft,
  cropsUntilTooCold,
  ammoniaTomorrow,
  nitriteTomorrow,
]
