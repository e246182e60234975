import type { EpochMs } from '../units/time.js'
import type { Stock } from './fish.js'
import type { HeatingOutput, House } from './house.js'
import type { Site, TankId, WaterId } from './larkfield.js'
import type { Ledger, LedgerDraft } from './ledger.js'
import type { MachineOrders, Machines } from './machines.js'
import type { Water, WaterDraft } from './water.js'
import type { Outdoors, Sky, SkyOrders } from './weather.js'

/** The whole farm at one moment. Plain data; `step` gives the next. */
export interface PlantState {
  readonly at: EpochMs
  readonly water: Readonly<Record<WaterId, Water>>
  readonly stock: Readonly<Record<TankId, Stock>>
  /** g of oxygen that the droppings in the biofilter will still take */
  readonly filterFilm: number
  readonly house: House
  readonly heating: HeatingOutput
  readonly sky: Sky
  readonly outdoors: Outdoors
  readonly machines: Machines
  /** Whether the float valve of the sump is open. */
  readonly toppingUp: boolean
  readonly ledger: Ledger
}

/** All that comes from outside during one step: what people, accidents and chance do. */
export interface PlantInputs {
  readonly site: Site
  readonly machines: MachineOrders
  readonly sky: SkyOrders
  /** Minutes since local midnight. */
  readonly minuteOfDay: number
  /** Times a tank's usual day, per day, on top of the meals. */
  readonly extraFeed: Readonly<Record<TankId, number>>
  /** L/min that run out of a basin onto the floor */
  readonly leaks: Readonly<Partial<Record<WaterId, number>>>
  /** Normal numbers for clouds and air, and for how restless the fish of each tank are. */
  readonly noise: {
    readonly sky: readonly [number, number]
    readonly moods: Readonly<Record<TankId, number>>
  }
}

/** What the parts of one step work on. */
export interface Surroundings {
  readonly state: PlantState
  readonly inputs: PlantInputs
  readonly machines: Machines
  readonly water: Readonly<Record<WaterId, WaterDraft>>
  readonly ledger: LedgerDraft
  readonly seconds: number
}
