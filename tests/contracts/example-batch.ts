import type { Batch } from '../../daemon/ports/recorder.js'
import type { Reading } from '../../daemon/readings/reading.js'
import { signalName } from '../../daemon/readings/signal.js'
import { epochMs } from '../../daemon/units/time.js'

export const emptyBatch: Batch = {
  readings: [],
  journal: [],
  upserts: [],
  deletes: [],
  outbox: [],
  outcomes: [],
}

export const batch = (parts: Partial<Batch>): Batch => ({ ...emptyBatch, ...parts })

export const oxygen = signalName('tank-1', 'dissolved_oxygen')
export const nitrite = signalName('tank-1', 'nitrite_nitrogen')
export const upsStatus = signalName('mains', 'status')

/** A good reading of the oxygen probe of tank 1, received as it was measured. */
export const reading = (at: number, parts: Partial<Reading> = {}): Reading => ({
  signal: oxygen,
  at: epochMs(at),
  received: epochMs(at),
  value: 7.25,
  quality: 'good',
  reasons: [],
  source: 'probe',
  historical: false,
  ...parts,
})
