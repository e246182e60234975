import type { Incoming } from './incoming.js'

/** A text that was sent and of which the network may still tell. */
interface Awaited {
  readonly call: number
  /** The number's last digits: networks write it with or without the country. */
  readonly ending: string
  /** Pieces still to be delivered. */
  readonly pending: readonly number[]
}

export type Awaiting = readonly Awaited[]

export interface Receipt {
  /** Id of the letter. */
  readonly call: number
  readonly outcome: 'delivered' | 'permanent'
  readonly detail: string
}

/** The network counts messages from 0 to 255 and begins again (3GPP TS 23.040, 9.2.3.6): a receipt can only be of the last so many. */
const awaitedMost = 256
const endingDigits = 7

const endingOf = (number: string): string => number.replaceAll(/\D/g, '').slice(-endingDigits)

export function awaitReceipt(
  awaiting: Awaiting,
  sent: { call: number; to: string; references: readonly number[] },
): Awaiting {
  if (sent.references.length === 0) return awaiting
  // A reference that comes again belongs to the newer text.
  const others = awaiting.filter(({ pending }) => !pending.some((one) => sent.references.includes(one)))
  return [...others, { call: sent.call, ending: endingOf(sent.to), pending: sent.references }].slice(
    -awaitedMost,
  )
}

/** Takes a receipt in: what it says of which letter; null when it is of none, or not the last word on it. */
export function received(
  awaiting: Awaiting,
  { reference, to, status, code }: Extract<Incoming, { kind: 'receipt' }>,
): { readonly awaiting: Awaiting; readonly receipt: Receipt | null } {
  const about = awaiting.find(({ pending, ending }) => pending.includes(reference) && ending === endingOf(to))
  if (about === undefined || status === 'underway') return { awaiting, receipt: null }
  const others = awaiting.filter((one) => one !== about)
  if (status === 'failed') {
    const detail = `the network could not deliver it (status ${code})`
    return { awaiting: others, receipt: { call: about.call, outcome: 'permanent', detail } }
  }
  const pending = about.pending.filter((one) => one !== reference)
  if (pending.length > 0) return { awaiting: [...others, { ...about, pending }], receipt: null }
  return {
    awaiting: others,
    receipt: { call: about.call, outcome: 'delivered', detail: 'the network says it was delivered' },
  }
}
