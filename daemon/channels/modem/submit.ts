import { hexOf } from './octets.js'
import { addressField, type PhoneNumber } from './phone-number.js'
import { userDataOf, type UserData } from './user-data.js'

/** One message for `AT+CMGS` in protocol data unit mode. */
export interface SubmitUnit {
  /** Octets without the service centre's address, which the command is given. */
  readonly length: number
  readonly hex: string
}

export interface SubmitRequest {
  readonly to: PhoneNumber
  readonly text: string
  /** Joins the pieces of a long text: 0 to 255. */
  readonly reference: number
  /** Whether the network shall say when it was delivered. */
  readonly receipt: boolean
}

// First octet of SMS-SUBMIT (3GPP TS 23.040, 9.2.2.2): kind, a relative validity period, receipt asked, header inside.
const submit = 0x01
const relativeValidity = 0x10
const receiptAsked = 0x20
const headerInside = 0x40

/**
 * How long the network tries: 12 h (9.2.3.12.1: 0 to 143 stand for steps of 5 min). A phone that comes back in the morning
 * shows what happened in the night; the day after nobody needs it (our choice).
 */
export const validity = 143

/** Data coding: the default alphabet or UCS-2, no message class (3GPP TS 23.038, 4). */
export const dataCodingOf = { gsm7: 0x00, ucs2: 0x08 } as const

/** First octet as `AT+CSMP` takes it in text mode. */
export const firstOctet = (receipt: boolean): number =>
  submit | relativeValidity | (receipt ? receiptAsked : 0)

/** The text as SMS-SUBMIT units, several when it is long (3GPP TS 23.040, 9.2.2.2). */
export function submitUnits({ to, text, reference, receipt }: SubmitRequest): readonly SubmitUnit[] {
  return userDataOf(text, reference).map((data) => unitOf(to, receipt, data))
}

function unitOf(
  to: PhoneNumber,
  receipt: boolean,
  { alphabet, hasHeader, length, octets }: UserData,
): SubmitUnit {
  const first = firstOctet(receipt) | (hasHeader ? headerInside : 0)
  // The modem counts the messages itself: reference 0. Protocol 0: from person to person.
  const unit = Uint8Array.of(
    first,
    0,
    ...addressField(to),
    0,
    dataCodingOf[alphabet],
    validity,
    length,
    ...octets,
  )
  // Before it the service centre's address, empty: the one on the card counts (3GPP TS 27.005, 3.1, <pdu>).
  return { length: unit.length, hex: `00${hexOf(unit)}` }
}
