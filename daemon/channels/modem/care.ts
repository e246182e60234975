import { milliseconds, seconds } from '../../units/time.js'
import { Fault } from '../../errors.js'
import { callOff, type AnswerLine } from './dialogue.js'
import { signalOf, type ModemHealth } from './health.js'
import { asked, demanded, parametersOf, rest, type Script } from './script.js'
import { unlock, type Unlocking } from './unlock.js'

/** How messages are written: as data units, or as text in hexadecimal UCS-2 for modems that know no units. */
export type MessageFormat = 'unit' | 'text'

export interface CareRequest extends Unlocking {
  /** Nothing is known of what the modem is in the middle of: it was opened just now, or left a command without an answer. */
  readonly isFresh: boolean
  readonly receipts: boolean
  /** It has not been ready for long. */
  readonly reset: boolean
}

export interface CareResult {
  readonly health: ModemHealth
  readonly format: MessageFormat
  /** What lies in the modem's store: the lines of `+CMGL`. */
  readonly stored: readonly AnswerLine[]
  /** Nothing more can come in. */
  readonly isFull: boolean
  readonly pinRefused: boolean
  /** The reset was asked for: the modem is away for a while. */
  readonly isResetting: boolean
}

const greetings = 3
const greetWithin = seconds(2)
/** What comes late, of a command given up, belongs to no other. */
const settle = milliseconds(1000)

/**
 * Brings the modem to where texts can be sent, and reads what came in. Run at the start and every minute: a modem that
 * has reset itself meanwhile has forgotten every setting and says so in a way of its own. Throws `BW_UNREACHABLE` when it
 * is silent, `BW_CHANNEL` when it cannot do what is needed.
 */
export function* care(request: CareRequest): Script<CareResult> {
  const result: CareResult = {
    health: { kind: 'unready', why: 'the modem starts' },
    format: 'unit',
    stored: [],
    isFull: false,
    pinRefused: false,
    isResetting: false,
  }
  if (request.isFresh) yield* rest(settle, callOff)
  yield* greet()
  yield* asked('ATE0')
  yield* asked('AT+CMEE=1')
  if (request.reset && (yield* asked('AT+CFUN=1,1', { within: seconds(15) })) !== null) {
    return { ...result, health: { kind: 'unready', why: 'the modem is reset' }, isResetting: true }
  }
  const unlocked = yield* unlock(request)
  if (unlocked.kind === 'not') return { ...result, health: unlocked.health, pinRefused: unlocked.pinRefused }
  const format = yield* chooseFormat()
  const isFull = yield* chooseStore()
  yield* chooseNotices(request.receipts)
  const stored = yield* listed(format)
  return { ...result, health: yield* reception(), format, stored, isFull }
}

/** A modem may sleep through the first characters (common practice); only silence to all of them is silence. */
function* greet(): Script<void> {
  for (let count = 1; count < greetings; count++) {
    const answer = yield {
      kind: 'ask',
      command: { line: 'AT', prefix: null, payload: null, within: greetWithin },
    }
    if (answer.kind === 'ok') return
  }
  yield* demanded('AT', { within: greetWithin })
}

/** Data units where possible (`+CMGF=0`, 3GPP TS 27.005, 3.2.3); else text whose every character is hexadecimal (`+CSCS`, 27.007, 5.5). */
function* chooseFormat(): Script<MessageFormat> {
  if ((yield* asked('AT+CMGF=0')) !== null) return 'unit'
  if ((yield* asked('AT+CMGF=1')) !== null && (yield* asked('AT+CSCS="UCS2"')) !== null) return 'text'
  // In any other character set a text "OK" could not be told from the end of an answer.
  throw new Fault('BW_CHANNEL', 'the modem takes texts neither as data units nor in UCS-2')
}

/**
 * One store for what is read, written and received (`+CPMS`, 3GPP TS 27.005, 3.2.2): the card, else the modem, else as it is
 * set. Says whether it is full: the answer counts what is used and what there is, for each of the three.
 */
function* chooseStore(): Script<boolean> {
  for (const store of ['SM', 'ME']) {
    const lines = yield* asked(`AT+CPMS="${store}","${store}","${store}"`, { prefix: '+CPMS:' })
    if (lines === null) continue
    const [used, room] = parametersOf(lines[0]?.text).map(Number)
    return used !== undefined && room !== undefined && room > 0 && used >= room
  }
  return false
}

/**
 * Texts are stored and told; receipts come by themselves, else are stored and told, else not at all (`+CNMI`, 3GPP TS 27.005,
 * 3.4.1). Service 0 needs no acknowledgement of ours (`+CSMS`, 3.2.1). Whatever is refused: the store is read every minute.
 */
function* chooseNotices(receipts: boolean): Script<void> {
  yield* asked('AT+CSMS=0', { prefix: '+CSMS:' })
  for (const way of receipts ? [1, 2, 0] : [0]) {
    if ((yield* asked(`AT+CNMI=2,1,0,${way},0`)) !== null) return
  }
}

/** All that is stored, read or not. A card that is still being read refuses; the next minute will do. */
function* listed(format: MessageFormat): Script<readonly AnswerLine[]> {
  const all = format === 'unit' ? '4' : '"ALL"'
  return (yield* asked(`AT+CMGL=${all}`, { prefix: '+CMGL:', within: seconds(20) })) ?? []
}

// <stat> of +CREG (3GPP TS 27.007, 7.2): home, roaming; 6, 7 for texts only; 9, 10 with circuit-switched fallback not preferred.
const registered: ReadonlySet<string> = new Set(['1', '5', '6', '7', '9', '10'])
const roaming: ReadonlySet<string> = new Set(['5', '7', '10'])

/** Registration in the circuit-switched network or in a packet network alone (`+CEREG`, 10.1.22), and the signal. */
function* reception(): Script<ModemHealth> {
  let denied = false
  const [rssi] = parametersOf((yield* asked('AT+CSQ', { prefix: '+CSQ:' }))?.[0]?.text)
  const signal = signalOf(Number(rssi ?? NaN))
  for (const name of ['+CREG', '+CEREG']) {
    const state = stateIn((yield* asked(`AT${name}?`, { prefix: `${name}:` })) ?? [])
    if (registered.has(state)) return { kind: 'ready', signal, isRoaming: roaming.has(state) }
    denied ||= state === '3'
  }
  const heard = signal === null ? 'no signal' : `signal ${signal} dBm`
  return {
    kind: 'unready',
    why: denied ? `the network denies this SIM card (${heard})` : `the modem finds no network (${heard})`,
  }
}

/** The answer is `<n>,<stat>`; the modem's own notices, which begin alike, give the state first (3GPP TS 27.007, 7.2). */
function stateIn(lines: readonly AnswerLine[]): string {
  const answers = lines
    .map(({ text }) => parametersOf(text))
    .filter(([, state]) => /^\d{1,2}$/.test(state ?? ''))
  return answers.at(-1)?.[1] ?? ''
}
