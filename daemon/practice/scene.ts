import type { EpochMs } from '../units/time.js'
import type { MachineOrders } from './machines.js'
import type { PlantState } from './plant-state.js'

/** The farm as a probe finds it at a moment. */
export interface Scene {
  /** When the probe feels: at the state's time or within the step after it. */
  readonly at: EpochMs
  readonly startedAt: EpochMs
  readonly state: PlantState
  readonly orders: MachineOrders
}
