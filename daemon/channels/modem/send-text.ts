import { seconds, type Milliseconds } from '../../units/time.js'
import { outcomeOf, type AtError } from './at-error.js'
import type { MessageFormat } from './care.js'
import { hexOf, toUcs2 } from './octets.js'
import { typeOfAddress, type PhoneNumber } from './phone-number.js'
import { answerTo, asked, parametersOf, type Script } from './script.js'
import { dataCodingOf, firstOctet, submitUnits, validity } from './submit.js'
import { alphabetFor, piecesOf } from './user-data.js'

export interface TextRequest {
  readonly to: PhoneNumber
  readonly text: string
  readonly reference: number
  readonly receipt: boolean
  readonly format: MessageFormat
  readonly within: Milliseconds
}

export type TextResult =
  /** `references`: the network's number of each piece, by which receipts name it. */
  | { readonly kind: 'sent'; readonly references: readonly number[] }
  | { readonly kind: 'refused'; readonly outcome: 'temporary' | 'permanent'; readonly error: AtError }

/** What `AT+CMGS` is given before its prompt and after it. */
interface Submission {
  readonly line: string
  readonly payload: string
}

// The network may take its time, but not longer than an attempt (common practice: modem makers allow a minute).
export const submitWithin = seconds(45)

/** Sends one text, in several pieces when it is long (`+CMGS`, 3GPP TS 27.005, 3.5.1 and 4.3). */
export function* sendText(request: TextRequest): Script<TextResult> {
  const references: number[] = []
  // It may have reset itself since it was cared for.
  const ready = yield* answerTo(request.format === 'unit' ? 'AT+CMGF=0' : 'AT+CMGF=1')
  if (ready.kind === 'refused') return refused(ready.error)
  if (request.format === 'text') {
    const coding = dataCodingOf[alphabetFor(request.text)]
    yield* asked('AT+CSCS="UCS2"')
    const set = yield* answerTo(`AT+CSMP=${firstOctet(request.receipt)},${validity},0,${coding}`)
    if (set.kind === 'refused') return refused(set.error)
  }
  for (const { line, payload } of submissionsOf(request)) {
    const answer = yield* answerTo(line, { prefix: '+CMGS:', payload, within: request.within })
    if (answer.kind === 'refused') return refused(answer.error)
    const reference = Number(parametersOf(answer.lines[0]?.text)[0] ?? NaN)
    if (Number.isInteger(reference)) references.push(reference)
  }
  return { kind: 'sent', references }
}

const refused = (error: AtError): TextResult => ({ kind: 'refused', outcome: outcomeOf(error), error })

function submissionsOf(request: TextRequest): readonly Submission[] {
  const { to, text } = request
  if (request.format === 'unit') {
    return submitUnits(request).map(({ length, hex }) => ({ line: `AT+CMGS=${length}`, payload: hex }))
  }
  const number = hexOf(toUcs2(`${to.isInternational ? '+' : ''}${to.digits}`))
  // Text mode has no header to join pieces by: they are texts of their own.
  return piecesOf(text, alphabetFor(text)).map((piece) => ({
    line: `AT+CMGS="${number}",${typeOfAddress(to)}`,
    payload: hexOf(toUcs2(piece)),
  }))
}
