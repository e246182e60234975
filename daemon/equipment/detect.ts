import type { Equipment, FarmPlan } from '../farm/plan.js'
import type { ReadingValue } from '../readings/reading.js'
import type { SignalName } from '../readings/signal.js'
import type { EpochMs } from '../units/time.js'
import { judgeMachine } from './machine.js'
import { judgeSupply } from './supply.js'
import type { Verdict } from './verdict.js'

/** The last usable value of a piece of evidence; null when there is none or it is stale. */
export type ReadEvidence = (
  signal: SignalName,
) => { readonly value: ReadingValue; readonly at: EpochMs } | null

/** Which equipment must be looked at again when a signal has a new usable value. */
export interface Detectors {
  readonly bySignal: ReadonlyMap<SignalName, readonly Equipment[]>
}

export function compileDetectors(plan: FarmPlan): Detectors {
  const bySignal = new Map<SignalName, Equipment[]>()
  for (const equipment of plan.equipment.values()) {
    for (const signal of Object.values(equipment.evidence)) {
      bySignal.set(signal, [...(bySignal.get(signal) ?? []), equipment])
    }
  }
  return { bySignal }
}

/**
 * What the evidence says about a piece of equipment now; null when it does not allow a verdict, so that the last one
 * stands: a fault is never over because its probe died. Evidence that is missing neither accuses nor acquits.
 */
export function judgeEquipment(equipment: Equipment, read: ReadEvidence): Omit<Verdict, 'of'> | null {
  switch (equipment.kind) {
    case 'mains_supply':
    case 'battery_supply':
    case 'generator':
      return judgeSupply(equipment, read)
    case 'pump':
    case 'blower':
    case 'fan':
    case 'heater':
    case 'vent':
    case 'valve':
    case 'feeder':
      return judgeMachine(equipment, read)
  }
}
