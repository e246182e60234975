import { phoneNumberOf } from '../../daemon/channels/modem/phone-number.js'
import { Session, type SessionEffect, type SessionOptions } from '../../daemon/channels/modem/session.js'
import {
  after,
  epochMs,
  milliseconds,
  seconds,
  type Milliseconds,
  type MonotonicMs,
} from '../../daemon/units/time.js'
import { ModemCore } from '../support/modem-core.js'

const start = epochMs(Date.UTC(2027, 0, 10, 2, 0))

export const usual: SessionOptions = { pin: null, isPinRefused: false, receipts: true, within: seconds(60) }

type Told = Exclude<SessionEffect, { kind: 'write' | 'health' }>

/** A session and a modem that talk with each other without a line, in a time that passes only when it is told to. */
export class Talk {
  readonly core = new ModemCore()
  readonly session: Session
  /** What the session told, in order. */
  readonly told: Told[] = []
  /** What it wrote. */
  readonly written: string[] = []
  /** Cuts what the modem says into the pieces in which it arrives. */
  chop: (text: string) => readonly string[] = (text) => [text]
  isPlugged = false
  #passed = 0
  #attempt = 0
  readonly #due: string[] = []

  constructor(options: Partial<SessionOptions> = {}) {
    this.session = new Session({ ...usual, ...options }, this.#moment())
  }

  /** Plugs it in and lets it come to rest. */
  begin(): this {
    this.plug()
    return this.pass(seconds(2))
  }

  plug(): this {
    this.isPlugged = true
    return this.#perform(this.session.opened(this.#moment()))
  }

  unplug(): this {
    this.isPlugged = false
    return this.#perform(this.session.gone('the modem is gone', this.#moment()))
  }

  send(text = 'Larkfield tank 1: oxygen 3.8', number = '+44 7700 900101'): number {
    this.#attempt += 1
    const to = phoneNumberOf(number)
    if (to === null) throw new Error(`${number} is no number`)
    const outgoing = { attempt: this.#attempt, call: 1000 + this.#attempt, to, text }
    this.#perform(this.session.submit(outgoing, this.#moment()))
    return this.#attempt
  }

  /** What became of an attempt; null when nothing is known yet. */
  outcome(attempt: number): string | null {
    const sent = this.told.find((one) => one.kind === 'sent' && one.attempt === attempt)
    return sent?.kind === 'sent' ? `${sent.outcome}: ${sent.detail}` : null
  }

  /** The modem says something by itself. */
  say(text: string): this {
    return this.#hear(text)
  }

  pass(span: Milliseconds): this {
    const end = this.#passed + span
    for (;;) {
      const due = this.session.due()
      if (due === null || due > end) break
      this.#passed = Math.max(this.#passed, due)
      this.#perform(this.session.tick(this.#moment()))
    }
    this.#passed = end
    return this
  }

  /** Hands over what came in, as the channel does; `isDone` false when nobody takes it. */
  settle(isDone = true): this {
    for (const effect of this.told.splice(0)) {
      if (effect.kind !== 'text') continue
      this.#perform(this.session.settle(effect.text, { isDone, round: effect.round }, this.#moment()))
    }
    return this
  }

  texts(): readonly string[] {
    return this.told.flatMap((one) => (one.kind === 'text' ? [`${one.text.from}: ${one.text.text}`] : []))
  }

  troubles(): readonly (string | null)[] {
    return this.told.flatMap((one) => (one.kind === 'trouble' ? [one.why] : []))
  }

  #moment() {
    return { at: after(start, milliseconds(this.#passed)), now: this.#passed as MonotonicMs }
  }

  #hear(text: string): this {
    for (const piece of this.chop(text)) {
      if (this.isPlugged) this.#perform(this.session.heard(piece, this.#moment()))
    }
    return this
  }

  /** What is written is answered after everything else of the same moment. */
  #perform(effects: readonly SessionEffect[]): this {
    const isInner = this.#due.length > 0
    for (const effect of effects) {
      if (effect.kind === 'write') {
        this.written.push(effect.text)
        this.#due.push(effect.text)
      } else if (effect.kind === 'reopen') {
        this.isPlugged = false
        this.told.push(effect)
      } else if (effect.kind !== 'health') this.told.push(effect)
    }
    if (isInner) return this
    for (let written = this.#due[0]; written !== undefined; written = this.#due[0]) {
      if (this.isPlugged) this.#hear(this.core.hear(written))
      this.#due.shift()
    }
    return this
  }
}
