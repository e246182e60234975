import { Fault } from '../../errors.js'
import { seconds, type Milliseconds } from '../../units/time.js'
import type { AtError } from './at-error.js'
import type { Answer, AnswerLine, Command } from './dialogue.js'

/** A step of a script: a command, or a rest in which nothing is listened to. */
export type Step =
  | { readonly kind: 'ask'; readonly command: Command }
  | { readonly kind: 'rest'; readonly write: string; readonly span: Milliseconds }

/**
 * Several commands, each following from the answers to those before. Written as a generator, so that it reads from top to
 * bottom; whoever runs it gives each command's answer back, and an OK after each rest.
 */
export type Script<Result> = Generator<Step, Result, Answer>

/** Most answers come within tenths of a second; a modem that searches the network may take seconds (common practice). */
export const answerWithin = seconds(5)

export interface Asking {
  readonly prefix?: string
  readonly payload?: string
  readonly within?: Milliseconds
}

/** Asks; null for a refusal. Throws `BW_UNREACHABLE` when no answer comes. */
export function* asked(line: string, more: Asking = {}): Script<readonly AnswerLine[] | null> {
  const answer = yield* answerTo(line, more)
  return answer.kind === 'ok' ? answer.lines : null
}

/** As `asked`, with the reason of a refusal. */
export function* answerTo(line: string, more: Asking = {}): Script<Exclude<Answer, { kind: 'silence' }>> {
  const { prefix = null, payload = null, within = answerWithin } = more
  const answer = yield { kind: 'ask', command: { line, prefix, payload, within } }
  if (answer.kind !== 'silence') return answer
  // Only the name of the command: what follows may be a PIN or a number.
  throw new Fault('BW_UNREACHABLE', `the modem does not answer ${nameOf(line)}`)
}

/** Throws `BW_CHANNEL` where nothing can be done without it. */
export function* demanded(line: string, more: Asking = {}): Script<readonly AnswerLine[]> {
  const answer = yield* answerTo(line, more)
  if (answer.kind === 'ok') return answer.lines
  throw new Fault('BW_CHANNEL', refusal(line, answer.error))
}

export function* rest(span: Milliseconds, write = ''): Script<void> {
  yield { kind: 'rest', write, span }
}

export const refusal = (line: string, error: AtError): string =>
  `the modem refuses ${nameOf(line)}: ${error.words}`

const nameOf = (line: string): string => /^AT[+^&]?[A-Z]*/.exec(line)?.[0] ?? 'a command'

/** The parameters of `+CREG: 0,1`, without quotation marks. None of ours holds a comma inside them but time stamps, which come last. */
export const parametersOf = (line: string | undefined): readonly string[] =>
  line === undefined
    ? []
    : line
        .slice(line.indexOf(':') + 1)
        .split(',')
        .map((parameter) => parameter.trim().replaceAll('"', ''))
