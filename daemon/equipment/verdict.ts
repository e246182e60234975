import type { EpochMs } from '../units/time.js'

/** What a detector believes about a piece of equipment, a place, a node or a probe. `normal` when nothing is wrong. */
export interface Verdict {
  /** Id of the equipment or place, name of the signal or node. */
  readonly of: string
  /** A mode of contract 11: `stopped`, `lost`, `silent`, … or `normal`. */
  readonly mode: string
  /** 0 to 1 */
  readonly confidence: number
  readonly since: EpochMs
  /** In words, strongest first. */
  readonly evidence: readonly string[]
}
