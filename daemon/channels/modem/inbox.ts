import type { StoredText, StoreReading } from './stored-texts.js'

/** What of the modem's store is being dealt with: places that were read, and commands that delete. */
export interface Inbox {
  readonly inHand: ReadonlySet<number>
  readonly deletions: readonly Deletion[]
}

export interface Deletion {
  /** `AT+CMGD` (3GPP TS 27.005, 3.5.4). */
  readonly line: string
  readonly place: number | null
}

export const emptyInbox: Inbox = { inHand: new Set(), deletions: [] }

// Flag 3: all that was read or sent and all drafts; what came in since then, unread, stays (3GPP TS 27.005, 3.5.4).
const clearing: Deletion = { line: 'AT+CMGD=1,3', place: null }

/** Takes in what the store holds: gives the texts that are not in hand already. A full store with nothing for us is cleared. */
export function taken(
  inbox: Inbox,
  { texts, receipts, spent }: StoreReading,
  isFull: boolean,
): { readonly inbox: Inbox; readonly texts: readonly StoredText[] } {
  const fresh = texts.filter(({ places }) => !places.some((place) => inbox.inHand.has(place)))
  const deleted = spent.filter((place) => !inbox.inHand.has(place))
  const stuck = isFull && texts.length + receipts.length + spent.length === 0
  const inHand = new Set([...inbox.inHand, ...deleted, ...fresh.flatMap(({ places }) => places)])
  const deletions = [...inbox.deletions, ...deleted.map(deletionOf), ...(stuck ? [clearing] : [])]
  return { inbox: { inHand, deletions }, texts: fresh }
}

const deletionOf = (place: number): Deletion => ({ line: `AT+CMGD=${place}`, place })

/** The text was handed over: its places are to be deleted. */
export const handedOver = (inbox: Inbox, { places }: StoredText): Inbox => ({
  ...inbox,
  deletions: [...inbox.deletions, ...places.map(deletionOf)],
})

/** The text could not be handed over: it is read again. */
export const released = (inbox: Inbox, { places }: StoredText): Inbox => ({
  ...inbox,
  inHand: new Set([...inbox.inHand].filter((place) => !places.includes(place))),
})

/** The modem deleted what it was asked to: new texts may lie there now. */
export const deleted = (inbox: Inbox, { place }: Deletion): Inbox => ({
  ...inbox,
  inHand: new Set(place === null ? [] : [...inbox.inHand].filter((one) => one !== place)),
})
