import type { Sent } from '../../ports/channel.js'

/** Why a modem refuses: `+CME ERROR` is about the modem (3GPP TS 27.007, 9.2), `+CMS ERROR` about a message (27.005, 3.2.5). */
export interface AtError {
  readonly family: 'equipment' | 'message' | 'plain'
  /** Null when it gives words or nothing. */
  readonly code: number | null
  readonly words: string
}

const form = /^\+CM([ES]) ERROR: *(.*)$/

/** Reads a line that refuses; null for any other. */
export function atErrorIn(line: string): AtError | null {
  if (line === 'ERROR') return { family: 'plain', code: null, words: 'ERROR' }
  const [, letter, what = ''] = form.exec(line) ?? []
  if (letter === undefined) return null
  const family = letter === 'E' ? 'equipment' : 'message'
  const code = /^\d+$/.test(what) ? Number(what) : null
  const known = code === null ? what : (family === 'equipment' ? equipment : message).get(code)
  return {
    family,
    code,
    words: known === undefined ? `error ${what}` : code === null ? known : `${known} (${code})`,
  }
}

/** 3GPP TS 27.007, 9.2.1 (from memory): those that a card, a network or a text run into. */
const equipment: ReadonlyMap<number, string> = new Map([
  [3, 'operation not allowed'],
  [4, 'operation not supported'],
  [10, 'there is no SIM card'],
  [11, 'the SIM card asks for its PIN'],
  [12, 'the SIM card is locked and asks for its PUK'],
  [13, 'the SIM card has failed'],
  [14, 'the SIM card is busy'],
  [15, 'wrong SIM card'],
  [16, 'wrong PIN'],
  [20, 'memory full'],
  [21, 'invalid index'],
  [30, 'no network'],
  [31, 'the network does not answer'],
  [32, 'emergency calls only'],
  [100, 'unknown error'],
])

/** 3GPP TS 27.005, 3.2.5; below 128 3GPP TS 24.011, annex E.2; from 128 3GPP TS 23.040, 9.2.3.22 (all from memory). */
const message: ReadonlyMap<number, string> = new Map([
  [1, 'the number does not exist'],
  [8, 'barred by the network'],
  [10, 'calls are barred'],
  [21, 'the text was rejected'],
  [27, 'the receiver cannot be reached'],
  [28, 'the number is unknown'],
  [29, 'the network refuses the service'],
  [30, 'the number is unknown'],
  [38, 'the network is out of order'],
  [41, 'the network has a trouble that passes'],
  [42, 'the network is congested'],
  [47, 'the network has no resources'],
  [50, 'this card may not send texts'],
  [69, 'the network does not offer texts'],
  [192, 'the service centre is busy'],
  [193, 'this card has no contract with the service centre'],
  [194, 'the service centre has failed'],
  [195, 'the number is invalid'],
  [196, 'the receiver is barred'],
  [300, 'the modem has failed'],
  [301, 'the message service of the modem is reserved'],
  [302, 'operation not allowed'],
  [303, 'operation not supported'],
  [304, 'invalid data unit'],
  [305, 'invalid parameter'],
  [310, 'there is no SIM card'],
  [311, 'the SIM card asks for its PIN'],
  [313, 'the SIM card has failed'],
  [314, 'the SIM card is busy'],
  [315, 'wrong SIM card'],
  [316, 'the SIM card is locked and asks for its PUK'],
  [320, 'memory failure'],
  [321, 'invalid index'],
  [322, 'memory full'],
  [330, 'the service centre is not set on the SIM card'],
  [331, 'no network'],
  [332, 'the network does not answer'],
  [500, 'unknown error'],
])

// About this number or this card, and no different in a minute: the person's next channel is better tried at once.
const forGood: ReadonlySet<number> = new Set([
  1, 8, 10, 28, 29, 30, 50, 69, 193, 195, 196, 304, 305, 310, 316, 330,
])

/** Whether trying again makes sense. What is not known passes perhaps: trying again costs a minute, not trying a night. */
export const outcomeOf = ({ family, code }: AtError): Extract<Sent['kind'], 'temporary' | 'permanent'> =>
  family === 'message' && code !== null && forGood.has(code) ? 'permanent' : 'temporary'

const isEither = (error: AtError, ofEquipment: number, ofMessage: number): boolean =>
  error.code === (error.family === 'equipment' ? ofEquipment : ofMessage) && error.family !== 'plain'

export const isCardMissing = (error: AtError): boolean => isEither(error, 10, 310)
export const isPinRefused = (error: AtError): boolean =>
  error.family === 'plain' ||
  (error.family === 'equipment' && (error.code === 16 || error.code === 12 || error.code === null))
