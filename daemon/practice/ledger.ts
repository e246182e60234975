/**
 * All that crossed the farm's borders since the start, so that a test can close the balances: what is there now is what
 * was there, plus what came, less what went.
 */
export interface Ledger {
  /** g of oxygen */
  readonly oxygenFromAir: number
  readonly oxygenBreathed: number
  readonly oxygenRotted: number
  readonly oxygenNitrified: number
  readonly oxygenWithTopUp: number
  readonly oxygenLeaked: number
  /** g N dissolved from digested or rotten feed, taken up by the crop, lost with leaking water */
  readonly nitrogenReleased: number
  readonly nitrogenTakenUp: number
  readonly nitrogenLeaked: number
  /** g */
  readonly feedGiven: number
  /** m3 of water */
  readonly waterToppedUp: number
  readonly waterLeaked: number
  readonly waterVentilated: number
  readonly waterCondensed: number
  /** kJ; that of water counted from 0 degrees Celsius */
  readonly heatFromHeater: number
  readonly heatFromSun: number
  readonly heatThroughCover: number
  readonly heatIntoVapour: number
  readonly heatWithTopUp: number
  readonly heatLeaked: number
}
export type LedgerDraft = { -readonly [entry in keyof Ledger]: Ledger[entry] }

export const emptyLedger: Ledger = {
  oxygenFromAir: 0,
  oxygenBreathed: 0,
  oxygenRotted: 0,
  oxygenNitrified: 0,
  oxygenWithTopUp: 0,
  oxygenLeaked: 0,
  nitrogenReleased: 0,
  nitrogenTakenUp: 0,
  nitrogenLeaked: 0,
  feedGiven: 0,
  waterToppedUp: 0,
  waterLeaked: 0,
  waterVentilated: 0,
  waterCondensed: 0,
  heatFromHeater: 0,
  heatFromSun: 0,
  heatThroughCover: 0,
  heatIntoVapour: 0,
  heatWithTopUp: 0,
  heatLeaked: 0,
}
