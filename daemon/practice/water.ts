/**
 * Water of one basin, kept as amounts instead of concentrations: what leaves one basin enters another to the last digit,
 * so that the balances close.
 */
export interface Water {
  /** m3 */
  readonly volume: number
  /** kJ above water of 0 degrees Celsius */
  readonly heat: number
  /** g of dissolved oxygen */
  readonly oxygen: number
  /** g N of ammonia and ammonium together */
  readonly ammonia: number
  /** g N */
  readonly nitrite: number
  /** g N */
  readonly nitrate: number
  /** mol of charge */
  readonly alkalinity: number
  /** mol of inorganic carbon: carbon dioxide and bicarbonate (carbonate is negligible below pH 8.3) */
  readonly carbon: number
}

/** The copy that one step works on. */
export type WaterDraft = { -readonly [part in keyof Water]: Water[part] }

/** kJ/(m3.K): 1000 kg/m3 x 4.186 kJ/(kg.K). */
export const heatCapacityOfWater = 4186

/** g N */
export const nitrogenIn = (water: Water): number => water.ammonia + water.nitrite + water.nitrate
/** Cel */
export const temperatureOf = (water: Water): number => water.heat / (water.volume * heatCapacityOfWater)
/** mg/L */
export const oxygenOf = (water: Water): number => water.oxygen / water.volume

/** Concentrations and temperature as a laboratory would state them. */
export interface WaterQuality {
  /** m3 */
  readonly volume: number
  /** Cel */
  readonly temperature: number
  /** mg/L */
  readonly oxygen: number
  /** mg/L as N */
  readonly ammonia: number
  /** mg/L as N */
  readonly nitrite: number
  /** mg/L as N */
  readonly nitrate: number
  /** mg/L as CaCO3 */
  readonly alkalinity: number
  /** mg/L of free carbon dioxide */
  readonly carbonDioxide: number
  readonly ph: number
}

export const gramsPerMoleOfCarbonDioxide = 44.01
/** Half of 100.087 g/mol: one mole of charge as CaCO3. */
export const gramsPerEquivalentAsCalciumCarbonate = 50.04

/** mol of free carbon dioxide; never zero, since pH would have no value then. */
export const freeCarbonDioxide = (water: Water): number =>
  Math.max(water.carbon - water.alkalinity, 1e-6 * water.volume)

/**
 * pH of bicarbonate water: pK1 + log10([HCO3]/[CO2]), bicarbonate taken as the alkalinity. Sane from pH 5.5 to 8.3.
 * pK1 = 3404.71/T + 0.032786 T - 14.8435.
 * @source Harned & Davis (1943), J. Am. Chem. Soc. 65:2030 (equation from memory; gives 6.35 at 25 degrees)
 */
export function phOf(water: Water): number {
  const kelvin = temperatureOf(water) + 273.15
  const pK1 = 3404.71 / kelvin + 0.032786 * kelvin - 14.8435
  const bicarbonate = Math.max(water.alkalinity, 1e-6 * water.volume)
  return pK1 + Math.log10(bicarbonate / freeCarbonDioxide(water))
}

export function qualityOf(water: Water): WaterQuality {
  return {
    volume: water.volume,
    temperature: temperatureOf(water),
    oxygen: oxygenOf(water),
    ammonia: water.ammonia / water.volume,
    nitrite: water.nitrite / water.volume,
    nitrate: water.nitrate / water.volume,
    alkalinity: (water.alkalinity * gramsPerEquivalentAsCalciumCarbonate) / water.volume,
    carbonDioxide: (freeCarbonDioxide(water) * gramsPerMoleOfCarbonDioxide) / water.volume,
    ph: phOf(water),
  }
}

/** Water with that quality; the inverse of `qualityOf`, pH excepted, which follows from the others. */
export function waterOf(quality: Omit<WaterQuality, 'ph'>): Water {
  const alkalinity = (quality.alkalinity * quality.volume) / gramsPerEquivalentAsCalciumCarbonate
  return {
    volume: quality.volume,
    heat: quality.temperature * quality.volume * heatCapacityOfWater,
    oxygen: quality.oxygen * quality.volume,
    ammonia: quality.ammonia * quality.volume,
    nitrite: quality.nitrite * quality.volume,
    nitrate: quality.nitrate * quality.volume,
    alkalinity,
    carbon: alkalinity + (quality.carbonDioxide * quality.volume) / gramsPerMoleOfCarbonDioxide,
  }
}

/** Moves `volume` m3 with all that is dissolved in it; at most nine tenths of what is there. Returns what was moved. */
export function carry(from: WaterDraft, to: WaterDraft, volume: number): number {
  if (volume <= 0 || from.volume <= 0) return 0
  const share = Math.min(volume / from.volume, 0.9)
  const moved = share * from.volume
  to.volume += moved
  to.heat += share * from.heat
  to.oxygen += share * from.oxygen
  to.ammonia += share * from.ammonia
  to.nitrite += share * from.nitrite
  to.nitrate += share * from.nitrate
  to.alkalinity += share * from.alkalinity
  to.carbon += share * from.carbon
  keep(from, 1 - share)
  return moved
}

function keep(water: WaterDraft, share: number): void {
  water.volume *= share
  water.heat *= share
  water.oxygen *= share
  water.ammonia *= share
  water.nitrite *= share
  water.nitrate *= share
  water.alkalinity *= share
  water.carbon *= share
}
