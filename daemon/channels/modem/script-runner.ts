import { Fault } from '../../errors.js'
import type { MonotonicMs } from '../../units/time.js'
import {
  ask,
  hear,
  listenedUntil,
  nothingAsked,
  type Answer,
  type AnswerLine,
  type Dialogue,
  type Heard,
} from './dialogue.js'
import type { Script, Step } from './script.js'

export type End<Result> =
  | { readonly kind: 'done'; readonly result: Result }
  /** `inDoubt`: a text was given to the modem, and whether it sent it is not known. */
  | { readonly kind: 'failed'; readonly fault: Fault; readonly inDoubt: boolean }

interface Running {
  /** Gives the script an answer; null begins it. */
  go(answer: Answer | null): void
  fail(fault: Fault): void
}

export interface Listener {
  write(text: string): void
  notice(line: AnswerLine): void
}

/** Runs scripts over a line, one at a time. Reads no clock: whoever calls says what time it is. */
export class ScriptRunner {
  readonly #listener: Listener
  #dialogue: Dialogue = nothingAsked
  #running: Running | null = null
  #restUntil: MonotonicMs | null = null
  #inDoubt = false
  #now: MonotonicMs = 0 as MonotonicMs

  constructor(listener: Listener) {
    this.#listener = listener
  }

  isIdle(): boolean {
    return this.#running === null
  }

  /** Only when idle. `ended` is called once, perhaps at once. */
  run<Result>(script: Script<Result>, ended: (end: End<Result>) => void, now: MonotonicMs): void {
    this.#now = now
    this.#inDoubt = false
    const end = (how: End<Result>): void => {
      this.#running = null
      this.#restUntil = null
      ended(how)
    }
    const fail = (fault: Fault): void => end({ kind: 'failed', fault, inDoubt: this.#inDoubt })
    const go = (answer: Answer | null): void => {
      const next = nextOf(script, answer)
      if (next instanceof Fault) fail(next)
      else if (next.done === true) end({ kind: 'done', result: next.value })
      else this.#begin(next.value)
    }
    this.#running = { go, fail }
    go(null)
  }

  heard(text: string, now: MonotonicMs): void {
    this.#now = now
    const { dialogue, heard } = hear(this.#dialogue, text)
    this.#dialogue = dialogue
    this.#take(heard)
  }

  /** Ends waits that are over. */
  tick(now: MonotonicMs): void {
    this.#now = now
    const { dialogue, heard } = listenedUntil(this.#dialogue, now)
    this.#dialogue = dialogue
    this.#take(heard)
    if (this.#restUntil === null || this.#restUntil > now) return
    this.#restUntil = null
    this.#running?.go({ kind: 'ok', lines: [] })
  }

  due(): MonotonicMs | null {
    return this.#dialogue.asked?.due ?? this.#restUntil
  }

  /** The line is gone: what runs fails. */
  breakOff(why: string): void {
    this.#dialogue = nothingAsked
    this.#running?.fail(new Fault('BW_UNREACHABLE', why))
  }

  #begin(step: Step): void {
    if (step.kind === 'rest') {
      this.#restUntil = (this.#now + step.span) as MonotonicMs
      if (step.write !== '') this.#listener.write(step.write)
      return
    }
    const { dialogue, write } = ask(this.#dialogue, step.command, this.#now)
    this.#dialogue = dialogue
    this.#listener.write(write)
  }

  #take(heard: readonly Heard[]): void {
    for (const one of heard) {
      switch (one.kind) {
        case 'notice':
          this.#listener.notice(one)
          break
        case 'write':
          this.#inDoubt ||= one.isPayload
          this.#listener.write(one.text)
          break
        case 'answer':
          this.#running?.go(one.answer)
          break
      }
    }
  }
}

/** The script's next step. Its own faults are outcomes; anything else is a mistake in the program. */
function nextOf<Result>(
  script: Script<Result>,
  answer: Answer | null,
): ReturnType<Script<Result>['next']> | Fault {
  try {
    // The first step of a generator takes no answer.
    return answer === null ? script.next({ kind: 'silence' }) : script.next(answer)
  } catch (cause) {
    if (cause instanceof Fault) return cause
    throw cause
  }
}
