/**
 * Everything that can go wrong in a way worth naming. A Fault says what happened, where, and what would be right;
 * its code is stable and listed in DEVELOPERS.md (a test compares the two).
 */
export const faultCodes = [
  'BW_ASSERTION',
  'BW_CONFIG',
  'BW_USAGE',
  'BW_SCRIPT',
  'BW_UNIT',
  'BW_CALC',
  'BW_STORE',
  'BW_STORE_IN_USE',
  'BW_STORE_VERSION',
  'BW_BROKER',
  'BW_CHANNEL',
  'BW_HTTP',
  'BW_LISTEN',
  'BW_UNREACHABLE',
] as const

export type FaultCode = (typeof faultCodes)[number]

export class Fault extends Error {
  override readonly name = 'Fault'
  constructor(
    readonly code: FaultCode,
    message: string,
    /** What the person can do about it, in one sentence; empty when the message already says it. */
    readonly hint = '',
    options?: ErrorOptions,
  ) {
    super(message, options)
  }
}

/** A programmer's error: must never happen, stays on in production, never checks outside input. */
export function assert(holds: boolean, what: string): asserts holds {
  if (!holds) throw new Fault('BW_ASSERTION', what, 'please report this: it is a mistake in the program')
}

/** Ends an exhaustive switch. */
export function unreachable(value: never): never {
  throw new Fault('BW_ASSERTION', `unexpected value ${JSON.stringify(value)}`)
}
