import type { Change, Now } from '../../daemon/http/contract.js'

/** The state after a change: signals are replaced one by one, everything else whole. */
export function merged(now: Now, { signals, ...rest }: Change): Now {
  const fresh = new Map(signals?.map((signal) => [signal.signal, signal]))
  // A part that is named always has a value: the daemon leaves out what did not change.
  const parts = rest as Partial<Now>
  return { ...now, ...parts, signals: now.signals.map((signal) => fresh.get(signal.signal) ?? signal) } as Now
}
