import { seconds } from '../../units/time.js'
import { isCardMissing, isPinRefused, type AtError } from './at-error.js'
import type { ModemHealth } from './health.js'
import { answerTo, asked, parametersOf, rest, type Script } from './script.js'

export interface Unlocking {
  /** Four to eight digits; null when the configuration has none. */
  readonly pin: string | null
  /** Whether a card refused this PIN before. */
  readonly isRefused: boolean
  /** Whether it was tried and no answer came. */
  readonly isInDoubt: boolean
}

export type Unlocked =
  | { readonly kind: 'open' }
  | { readonly kind: 'not'; readonly health: ModemHealth; readonly pinRefused: boolean }

// A card takes a second or two to be read after its PIN (common practice).
const cardReady = seconds(1)
const cardTries = 10
const fullTries = 3
/** What the command that enters a PIN begins with. */
export const pinCommand = 'AT+CPIN='

const not = (kind: 'unready' | 'locked', why: string, pinRefused = false): Unlocked => ({
  kind: 'not',
  health: { kind, why },
  pinRefused,
})

const refusedNow = not(
  'locked',
  'the SIM card refuses the PIN; it is not tried again, for three wrong ones lock the card',
  true,
)

/**
 * Opens the card with its PIN (3GPP TS 27.007, 8.3). Three wrong ones lock a card until its PUK is entered (3GPP TS 31.101,
 * 9.5.1, from memory). So a PIN is tried once: never again when it was refused, and not at all when the card says that
 * somebody has tried a wrong one before. Where the answer was lost, only a card that says it bore no wrong one is asked again.
 */
export function* unlock({ pin, isRefused, isInDoubt }: Unlocking): Script<Unlocked> {
  const state = yield* cardState()
  if (state.kind !== 'asks') return state.kind === 'open' ? state : ofTheCard(state.error)
  if (state.what !== 'SIM PIN') return not('locked', `the SIM card is locked: it asks for ${state.what}`)
  if (pin === null) return not('locked', 'the SIM card asks for its PIN, and the configuration has none')
  if (!/^\d{4,8}$/.test(pin)) return not('locked', 'the PIN of the configuration is not four to eight digits')
  if (isRefused)
    return not(
      'locked',
      'the SIM card refused this PIN; it is not tried again, for three wrong ones lock the card',
    )
  const left = yield* triesLeft()
  if (isInDoubt && left === null) return refusedNow
  if (left !== null && left < fullTries) {
    return not('locked', `the SIM card has ${left} of ${fullTries} tries left: enter its PIN by hand once`)
  }
  const answer = yield* answerTo(`${pinCommand}"${pin}"`, { within: seconds(20) })
  if (answer.kind === 'refused' && !isPinRefused(answer.error)) return ofTheCard(answer.error)
  if (answer.kind === 'ok' && (yield* becomesOpen())) return { kind: 'open' }
  return refusedNow
}

type CardState =
  | { readonly kind: 'open' }
  | { readonly kind: 'asks'; readonly what: string }
  | { readonly kind: 'refused'; readonly error: AtError }

function* cardState(): Script<CardState> {
  const answer = yield* answerTo('AT+CPIN?', { prefix: '+CPIN:' })
  if (answer.kind === 'refused') return answer
  const [what = ''] = parametersOf(answer.lines[0]?.text)
  return what === 'READY'
    ? { kind: 'open' }
    : { kind: 'asks', what: /^[A-Z0-9 -]{1,30}$/.test(what) ? what : 'something' }
}

function ofTheCard(error: AtError): Unlocked {
  return isCardMissing(error)
    ? not('locked', 'there is no SIM card in the modem')
    : not('unready', `the SIM card cannot be used: ${error.words}`)
}

/** How many wrong PINs the card still bears; null where the modem cannot tell (`+CPINR`, 3GPP TS 27.007, 8.65). */
function* triesLeft(): Script<number | null> {
  const lines = (yield* asked('AT+CPINR="SIM PIN"', { prefix: '+CPINR:' })) ?? []
  const left = Number(parametersOf(lines[0]?.text)[1] ?? NaN)
  return Number.isInteger(left) ? left : null
}

/** A card that is being read is busy for a moment; one that still asks did not take the PIN. */
function* becomesOpen(): Script<boolean> {
  for (let count = 0; count < cardTries; count++) {
    const state = yield* cardState()
    if (state.kind === 'open') return true
    yield* rest(cardReady)
  }
  return false
}
