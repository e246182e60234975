import type { Milliseconds, MonotonicMs } from '../../units/time.js'
import { atErrorIn, type AtError } from './at-error.js'
import { atParts, type AtPart } from './at-lines.js'

/** One AT command (ITU-T V.250; 3GPP TS 27.005 and 27.007). */
export interface Command {
  /** Without its end. */
  readonly line: string
  /** What lines of its answer begin with, `+CREG:`; null when nothing but OK is due. */
  readonly prefix: string | null
  /** Sent when the modem prompts for it; null for most. */
  readonly payload: string | null
  readonly within: Milliseconds
}

/** A line of an answer, and the line that belongs to it where it announces one (a data unit, a text). */
export interface AnswerLine {
  readonly text: string
  readonly body: string | null
}

export type Answer =
  | { readonly kind: 'ok'; readonly lines: readonly AnswerLine[] }
  | { readonly kind: 'refused'; readonly error: AtError }
  /** Not in time. */
  | { readonly kind: 'silence' }

/** What came to be known. */
export type Heard =
  | { readonly kind: 'write'; readonly text: string; readonly isPayload: boolean }
  | { readonly kind: 'answer'; readonly answer: Answer }
  /** Something that the modem says by itself: `+CMTI`, `+CDSI`, `+CDS`, `+CMT` (3GPP TS 27.005, 3.4.1). */
  | ({ readonly kind: 'notice' } & AnswerLine)

/** A talk with a modem: one command at a time, and lines that belong to none in the middle of it. */
export interface Dialogue {
  readonly rest: string
  readonly asked: {
    readonly command: Command
    readonly due: MonotonicMs
    readonly isPrompted: boolean
  } | null
  readonly lines: readonly AnswerLine[]
  /** Lines whose second line is still to come, the last first: a notice may fall between the two lines of an answer. */
  readonly open: readonly { readonly text: string; readonly isNotice: boolean }[]
}

export const nothingAsked: Dialogue = { rest: '', asked: null, lines: [], open: [] }

const endOfLine = '\r'
/** Ends a message (Ctrl-Z; 3GPP TS 27.005, 3.5.1). */
export const endOfMessage = '\x1a'
/** Calls off a message; where none is waited for it does nothing (3GPP TS 27.005, 3.5.1). */
export const callOff = '\x1b\r'

// Answers that are followed by a line of their own: lists and single messages.
const twofold = /^\+CMG[LR]:/
// +CDS in text mode stands on one line; in protocol data unit mode it has the unit's length alone.
const noticeWithBody = /^\+CMT:|^\+CDS: *\d+ *$/
const notice = /^\+(CMTI|CDSI|CDS|CMT):/
const hexadecimal = /^[0-9A-F]*$/i

/** Asks. Only when nothing is asked; the answer comes from `hear` or `listenedUntil`. */
export function ask(
  dialogue: Dialogue,
  command: Command,
  now: MonotonicMs,
): { dialogue: Dialogue; write: string } {
  const due = (now + command.within) as MonotonicMs
  return {
    dialogue: { ...dialogue, asked: { command, due, isPrompted: false }, lines: [], open: [] },
    write: `${command.line}${endOfLine}`,
  }
}

/** Takes in what was heard, in whatever pieces it arrives. */
export function hear(dialogue: Dialogue, heard: string): { dialogue: Dialogue; heard: readonly Heard[] } {
  const { rest, parts } = atParts(dialogue.rest, heard)
  let after: Dialogue = { ...dialogue, rest }
  const told: Heard[] = []
  for (const part of parts) {
    const step = part.kind === 'prompt' ? prompted(after) : line(after, part)
    after = step.dialogue
    told.push(...step.heard)
  }
  return { dialogue: after, heard: told }
}

/** Gives up on an answer that is not there in time. */
export function listenedUntil(
  dialogue: Dialogue,
  now: MonotonicMs,
): { dialogue: Dialogue; heard: readonly Heard[] } {
  if (dialogue.asked === null || dialogue.asked.due > now) return { dialogue, heard: [] }
  return answered({ ...dialogue, rest: '' }, { kind: 'silence' })
}

interface Stepped {
  readonly dialogue: Dialogue
  readonly heard: readonly Heard[]
}

const unchanged = (dialogue: Dialogue): Stepped => ({ dialogue, heard: [] })

const answered = (dialogue: Dialogue, answer: Answer): Stepped => ({
  dialogue: { ...dialogue, asked: null, lines: [], open: [] },
  heard: [{ kind: 'answer', answer }],
})

/** A second prompt, or one that nobody waits for, is passed over: a text must not be sent twice. */
function prompted(dialogue: Dialogue): Stepped {
  const { asked } = dialogue
  if (asked === null || asked.isPrompted || asked.command.payload === null) return unchanged(dialogue)
  return {
    dialogue: { ...dialogue, asked: { ...asked, isPrompted: true } },
    heard: [{ kind: 'write', text: `${asked.command.payload}${endOfMessage}`, isPayload: true }],
  }
}

function line(dialogue: Dialogue, { text }: Extract<AtPart, { kind: 'line' }>): Stepped {
  const [waiting, ...open] = dialogue.open
  if (waiting !== undefined && hexadecimal.test(text)) return whole({ ...dialogue, open }, waiting, text)
  if (notice.test(text)) {
    if (noticeWithBody.test(text))
      return { ...unchanged({ ...dialogue, open: [{ text, isNotice: true }, ...dialogue.open] }) }
    return { dialogue, heard: [{ kind: 'notice', text, body: null }] }
  }
  const { asked } = dialogue
  // Echoes, notices that nobody asked for, and whatever a modem says of itself.
  if (asked === null) return unchanged(dialogue)
  const error = atErrorIn(text)
  if (error !== null) return answered(dialogue, { kind: 'refused', error })
  const { prefix } = asked.command
  if (text === 'OK') return answered(dialogue, { kind: 'ok', lines: linesSoFar(dialogue) })
  if (prefix === null || !text.startsWith(prefix)) return unchanged(dialogue)
  const lines = linesSoFar(dialogue)
  if (twofold.test(text)) return unchanged({ ...dialogue, lines, open: [{ text, isNotice: false }] })
  return unchanged({ ...dialogue, lines: [...lines, { text, body: null }] })
}

function whole(
  dialogue: Dialogue,
  { text, isNotice }: { text: string; isNotice: boolean },
  body: string,
): Stepped {
  return isNotice
    ? { dialogue, heard: [{ kind: 'notice', text, body }] }
    : unchanged({ ...dialogue, lines: [...dialogue.lines, { text, body }] })
}

/** A first line whose second never came stands for a message without a text. */
const linesSoFar = ({ lines, open }: Dialogue): readonly AnswerLine[] => [
  ...lines,
  ...open.filter(({ isNotice }) => !isNotice).map(({ text }) => ({ text, body: null })),
]
