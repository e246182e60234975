import type { Batch } from '../../daemon/ports/recorder.js'
import type { Correction } from '../../daemon/readings/correction.js'
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

/** Oxygen of tank 1, half as much again between 1000 and 2000 ms, and 0.5 mg/L less. */
export const correction = (id: number, parts: Partial<Correction> = {}): Correction => ({
  ...{ id, signal: oxygen, from: epochMs(1000), to: epochMs(2000), gain: 1.5, offset: -0.5 },
  points: [
    { reads: 1, truth: 1 },
    { reads: 7, truth: 10 },
  ],
  ...{ at: epochMs(5000), by: 'first-keeper', why: 'checked with the meter', undone: null },
  ...parts,
})
