import { Fault } from '../../errors.js'
import { parseRfc3339, type EpochMs } from '../../units/time.js'
import { octetReader, octetsOf, type OctetReader } from './octets.js'
import { readAddress } from './phone-number.js'
import { readUserData, type Piece } from './user-data.js'

/** What the network tells of a text that we sent. */
export type ReceiptStatus = 'delivered' | 'underway' | 'failed'

/** A data unit that came in. */
export type Incoming =
  | {
      readonly kind: 'text'
      readonly from: string
      /** When the service centre took it; null when its time stamp is none. */
      readonly at: EpochMs | null
      /** Null when it is data that no person wrote. */
      readonly text: string | null
      readonly piece: Piece | null
    }
  | {
      readonly kind: 'receipt'
      readonly reference: number
      readonly to: string
      readonly status: ReceiptStatus
      /** TP-Status as it came. */
      readonly code: number
    }
  | { readonly kind: 'unreadable'; readonly why: string }

const deliver = 0
const statusReport = 2

/** Reads a `<pdu>` as `+CMGL`, `+CMT` and `+CDS` bring it: the service centre's address, then the unit (3GPP TS 23.040, 9.2.2). */
export function readIncoming(hex: string): Incoming {
  try {
    const reader = octetReader(octetsOf(hex))
    reader.take(reader.octet())
    const first = reader.octet()
    const kind = first & 3
    if (kind === deliver) return readText(reader, (first & 0x40) !== 0)
    if (kind === statusReport) return readReceipt(reader)
    return { kind: 'unreadable', why: `a data unit of kind ${kind} does not come in` }
  } catch (cause) {
    if (cause instanceof Fault) return { kind: 'unreadable', why: cause.message }
    throw cause
  }
}

/** SMS-DELIVER (9.2.2.1). */
function readText(reader: OctetReader, hasHeader: boolean): Incoming {
  const from = readAddress(reader)
  reader.octet() // Protocol: fax and mail gateways write texts too.
  const dataCoding = reader.octet()
  const at = readTime(reader)
  const length = reader.octet()
  return { kind: 'text', from, at, ...readUserData({ dataCoding, hasHeader, length, octets: reader.rest() }) }
}

/** SMS-STATUS-REPORT (9.2.2.3). */
function readReceipt(reader: OctetReader): Incoming {
  const reference = reader.octet()
  const to = readAddress(reader)
  readTime(reader)
  readTime(reader)
  const code = reader.octet()
  return { kind: 'receipt', reference, to, status: statusOf(code), code }
}

/** TP-Status (9.2.3.15): done; still trying; given up, for good or for now. What is reserved for the future counts as given up. */
export const statusOf = (code: number): ReceiptStatus =>
  code < 0x20 ? 'delivered' : code < 0x40 ? 'underway' : 'failed'

/**
 * Seven octets of two digits, the first in the low half: year, month, day, hour, minute, second, zone in quarters of an hour
 * with the sign in bit 3 of its first digit (9.2.3.11). Years count from 2000.
 */
function readTime(reader: OctetReader): EpochMs | null {
  const octets = [...reader.take(7)]
  const [year, month, day, hour, minute, second] = octets.map((octet) => `${octet & 0xf}${octet >> 4}`)
  const zone = octets[6] ?? 0
  const quarters = (zone & 7) * 10 + (zone >> 4)
  const pad = (value: number): string => String(value).padStart(2, '0')
  const offset = `${(zone & 8) === 0 ? '+' : '-'}${pad(Math.floor(quarters / 4))}:${pad((quarters % 4) * 15)}`
  return parseRfc3339(`20${year}-${month}-${day}T${hour}:${minute}:${second}${offset}`)
}
