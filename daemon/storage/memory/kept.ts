import type { CallRecord, JournalLine } from '../../ports/history.js'
import type { StateDoc } from '../../ports/recorder.js'
import type { Correction } from '../../readings/correction.js'
import type { Reading } from '../../readings/reading.js'

/** What a memory store holds. */
export interface Kept {
  /** By signal, then by time and source. */
  readonly readings: Map<string, Map<string, Reading>>
  readonly journal: JournalLine[]
  readonly docs: Map<string, StateDoc>
  readonly calls: Map<number, CallRecord>
  readonly corrections: Map<number, Correction>
}
