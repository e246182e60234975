import { isatty } from 'node:tty'
import pino, { type Logger } from 'pino'
import type { Log } from '../ports/log.js'
import { Fault } from '../errors.js'

export type LogLevel = 'debug' | 'info' | 'warn' | 'error'

export interface LoggerOptions {
  readonly level: LogLevel
  /** One line for people instead of JSON; what a terminal gets unless told otherwise. */
  readonly human?: boolean
  /** Where whole lines go; standard error unless told otherwise. Standard output belongs to what verbs print. */
  readonly write?: (line: string) => void
}

const standardError = 2

/** Never written, wherever in the facts they stand, two levels deep: what opens something. Names are those of the settings. */
const secretKeys = ['password', 'token', 'secret', 'key', 'authorization', 'cookie', 'link'] as const
const redact = {
  paths: secretKeys.flatMap((key) => [key, `*.${key}`, `*.*.${key}`]),
  censor: '(secret)',
}

/**
 * The daemon's logger: JSON lines on standard error, or one line for people on a terminal. Writes are synchronous, so
 * that the last words before an end are not lost; at our rate (nothing per reading above `debug`) that costs nothing.
 */
export function createLogger({
  level,
  human = isatty(standardError),
  write = standardErrorWriter(),
}: LoggerOptions): Log {
  const destination = { write: (line: string) => write(human ? `${asSentence(line)}\n` : line) }
  const root = pino(
    {
      level,
      base: null,
      redact,
      timestamp: pino.stdTimeFunctions.isoTime,
      formatters: { level: (label) => ({ level: label }) },
      serializers: { err: describeError, error: describeError, cause: describeError },
    },
    destination,
  )
  return wrap(root)
}

function wrap(logger: Logger): Log {
  return {
    debug: (facts, sentence) => logger.debug(facts, sentence),
    info: (facts, sentence) => logger.info(facts, sentence),
    warn: (facts, sentence) => logger.warn(facts, sentence),
    error: (facts, sentence) => logger.error(facts, sentence),
    child: (facts) => wrap(logger.child(facts)),
  }
}

/** Nobody is left to tell when standard error itself is gone (a closed pipe, a full disk): a log never stops the watch. */
function standardErrorWriter(): (line: string) => void {
  const stream = pino.destination({ dest: standardError, sync: true })
  stream.on('error', () => undefined)
  return (line) => stream.write(line)
}

/** A Fault says all by its words; the stack is for what nobody foresaw. */
function describeError(thrown: unknown): unknown {
  if (!(thrown instanceof Error)) return thrown
  const cause = thrown.cause === undefined ? {} : { cause: describeError(thrown.cause) }
  if (thrown instanceof Fault)
    return { code: thrown.code, message: thrown.message, hint: thrown.hint, ...cause }
  return { message: thrown.message, stack: thrown.stack, ...cause }
}

/** `22:14:03.120Z warn  mqtt: the broker is away (tries=3)`: the time of day, in UTC like every time of ours. */
function asSentence(line: string): string {
  const { time, level, room, msg, ...facts } = JSON.parse(line) as Record<string, unknown>
  const details = Object.entries(facts).map(([name, value]) => `${name}=${inShort(value)}`)
  const who = typeof room === 'string' ? `${room}: ` : ''
  const tail = details.length === 0 ? '' : ` (${details.join(' ')})`
  return printable(`${String(time).slice(11)} ${String(level).padEnd(5)} ${who}${String(msg)}${tail}`)
}

const inShort = (value: unknown): string => (typeof value === 'string' ? value : JSON.stringify(value))

/** Facts may come from outside (a topic, a payload): control characters must not move a terminal's cursor. */
const printable = (text: string): string =>
  text.replace(/[\u0000-\u001f\u007f-\u009f]/g, (character) => JSON.stringify(character).slice(1, -1))
