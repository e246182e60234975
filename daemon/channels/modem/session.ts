import type { Fault } from '../../errors.js'
import type { Sent } from '../../ports/channel.js'
import { minutes, seconds, type EpochMs, type Milliseconds, type MonotonicMs } from '../../units/time.js'
import { care, type CareResult, type MessageFormat } from './care.js'
import type { AnswerLine } from './dialogue.js'
import { isResetDue, observed, troubleDue, unwatched, type ModemHealth, type Watched } from './health.js'
import { deleted, emptyInbox, handedOver, released, taken, type Deletion, type Inbox } from './inbox.js'
import { readIncoming, type Incoming } from './incoming.js'
import type { PhoneNumber } from './phone-number.js'
import { awaitReceipt, received, type Awaiting, type Receipt } from './receipts.js'
import { asked } from './script.js'
import { ScriptRunner, type End } from './script-runner.js'
import { sendText, submitWithin, type TextResult } from './send-text.js'
import { pinCommand } from './unlock.js'
import { readStore, receiptInTextMode, type StoredText } from './stored-texts.js'

export interface SessionOptions {
  readonly pin: string | null
  /** Whether a card refused this PIN before. */
  readonly isPinRefused: boolean
  readonly receipts: boolean
  /** How long the network may take for one message. */
  readonly within: Milliseconds
}

export interface Outgoing {
  /** Of this attempt; no two alike. */
  readonly attempt: number
  /** Id of the letter. */
  readonly call: number
  readonly to: PhoneNumber
  readonly text: string
}

export type SessionEffect =
  | { readonly kind: 'write'; readonly text: string }
  | {
      readonly kind: 'sent'
      readonly attempt: number
      readonly outcome: Sent['kind']
      readonly detail: string
    }
  | { readonly kind: 'receipt'; readonly receipt: Receipt }
  /** To be handed over, then settled. `round` counts the openings of the line: places of one card mean nothing on another. */
  | { readonly kind: 'text'; readonly text: StoredText; readonly round: number }
  | { readonly kind: 'health'; readonly health: ModemHealth }
  /** Null: over. */
  | { readonly kind: 'trouble'; readonly why: string | null }
  /** Close the line and look for the modem anew. */
  | { readonly kind: 'reopen' }
  | { readonly kind: 'pin-refused' }
  | { readonly kind: 'unreadable'; readonly why: string }

/** By both clocks: how long something takes, and when it was. */
export interface Moment {
  readonly at: EpochMs
  readonly now: MonotonicMs
}

// Often enough to notice a modem that has reset itself before it is needed (our choice).
const careEvery = minutes(1)
const careWhileUnready = seconds(5)
/** A modem that is reset is away for so long (common practice). */
const resetTakes = seconds(15)
/** Silent twice in a row: the line may be the wrong one, or hang. */
const silencesMost = 2

/**
 * What goes on with one modem, whichever line it hangs on: cares for it, sends, reads what came in. It has neither a clock nor
 * a line of its own: it is told what happens, and its effects say what to do.
 */
export class Session {
  readonly #options: SessionOptions
  readonly #runner: ScriptRunner
  #moment: Moment
  #effects: SessionEffect[] = []
  #watched: Watched
  #isOpen = false
  #round = 0
  #isFresh = true
  #silences = 0
  #careDue: MonotonicMs
  #format: MessageFormat = 'unit'
  #isPinRefused: boolean
  /** It was entered, and what the card said to it is not known. */
  #isPinInDoubt = false
  #queue: Outgoing[] = []
  /** Attempts that went back into the queue. */
  readonly #again = new Set<number>()
  #reference = 0
  #awaiting: Awaiting = []
  #inbox: Inbox = emptyInbox

  constructor(options: SessionOptions, moment: Moment) {
    this.#options = options
    this.#moment = moment
    this.#isPinRefused = options.isPinRefused
    this.#watched = unwatched(moment.now)
    this.#careDue = moment.now
    this.#runner = new ScriptRunner({
      write: (text) => {
        if (text.startsWith(pinCommand)) this.#isPinInDoubt = true
        this.#tell({ kind: 'write', text })
      },
      notice: (line) => this.#notice(line),
    })
  }

  opened(moment: Moment): readonly SessionEffect[] {
    return this.#at(moment, () => {
      this.#isOpen = true
      this.#round += 1
      this.#isFresh = true
      this.#silences = 0
      this.#inbox = emptyInbox
      this.#careDue = moment.now
    })
  }

  heard(text: string, moment: Moment): readonly SessionEffect[] {
    return this.#at(moment, () => this.#runner.heard(text, moment.now))
  }

  /** The line is closed, or cannot be opened. */
  gone(why: string, moment: Moment): readonly SessionEffect[] {
    return this.#at(moment, () => {
      this.#isOpen = false
      this.#runner.breakOff(why)
      this.#observe({ kind: 'unready', why })
    })
  }

  submit(outgoing: Outgoing, moment: Moment): readonly SessionEffect[] {
    return this.#at(moment, () => {
      this.#queue.push(outgoing)
      this.#refuseInTrouble()
    })
  }

  /** Nobody waits for this attempt any more. One that the modem has already is not called back. */
  withdraw(attempt: number): void {
    this.#queue = this.#queue.filter((one) => one.attempt !== attempt)
    this.#again.delete(attempt)
  }

  /** A text was handed over, and is deleted from the store; or it could not be, and is read again. */
  settle(
    text: StoredText,
    { isDone, round }: { isDone: boolean; round: number },
    moment: Moment,
  ): readonly SessionEffect[] {
    return this.#at(moment, () => {
      if (round !== this.#round) return
      this.#inbox = isDone ? handedOver(this.#inbox, text) : released(this.#inbox, text)
    })
  }

  tick(moment: Moment): readonly SessionEffect[] {
    return this.#at(moment, () => {
      this.#runner.tick(moment.now)
      this.#observe(this.#watched.health)
    })
  }

  /** When `tick` has something to do. */
  due(): MonotonicMs | null {
    const care = this.#isOpen && this.#runner.isIdle() ? this.#careDue : null
    const dues = [this.#runner.due(), care, troubleDue(this.#watched)].filter((due) => due !== null)
    return dues.length === 0 ? null : (Math.min(...dues) as MonotonicMs)
  }

  health(): ModemHealth {
    return this.#watched.health
  }

  #tell(effect: SessionEffect): void {
    this.#effects.push(effect)
  }

  #at(moment: Moment, work: () => void): readonly SessionEffect[] {
    this.#moment = moment
    work()
    while (this.#begin());
    return this.#effects.splice(0)
  }

  /** Begins what is most urgent; false when nothing is to be done or something runs. */
  #begin(): boolean {
    if (!this.#isOpen || !this.#runner.isIdle()) return false
    const { now } = this.#moment
    if (this.#careDue <= now) {
      this.#beginCare(now)
      return true
    }
    if (this.#watched.health.kind !== 'ready') return false
    const [outgoing, ...queue] = this.#queue
    if (outgoing !== undefined) {
      this.#queue = queue
      this.#beginSending(outgoing, now)
      return true
    }
    const [deletion, ...deletions] = this.#inbox.deletions
    if (deletion === undefined) return false
    this.#inbox = { ...this.#inbox, deletions }
    this.#runner.run(asked(deletion.line), (end) => this.#afterDeletion(deletion, end), now)
    return true
  }

  #beginCare(now: MonotonicMs): void {
    const { pin, receipts } = this.#options
    const reset = isResetDue(this.#watched, now)
    if (reset) this.#watched = { ...this.#watched, lastReset: now }
    const request = {
      ...{ pin, isRefused: this.#isPinRefused, isInDoubt: this.#isPinInDoubt },
      ...{ receipts, reset, isFresh: this.#isFresh },
    }
    this.#isFresh = false
    // Before the script: it may ask for care again while it runs.
    this.#careDue = (now + careEvery) as MonotonicMs
    this.#runner.run(care(request), (end) => this.#cared(end), now)
  }

  #cared(end: End<CareResult>): void {
    const { at } = this.#moment
    if (end.kind === 'failed') {
      this.#observe({ kind: 'unready', why: end.fault.message })
      return this.#fell(end.fault)
    }
    const { health, format, stored, isFull, pinRefused, isResetting } = end.result
    this.#silences = 0
    this.#isPinInDoubt = false
    this.#format = format
    if (pinRefused) {
      this.#isPinRefused = true
      this.#tell({ kind: 'pin-refused' })
    }
    if (isResetting) this.#isFresh = true
    this.#observe(health)
    if (isResetting) this.#careWithin(resetTakes)
    else if (health.kind === 'unready') this.#careWithin(careWhileUnready)
    const reading = readStore(stored, format, at)
    for (const receipt of reading.receipts) this.#receive(receipt)
    for (const why of reading.unreadable) this.#tell({ kind: 'unreadable', why })
    const { inbox, texts } = taken(this.#inbox, reading, isFull)
    this.#inbox = inbox
    for (const text of texts) this.#tell({ kind: 'text', text, round: this.#round })
  }

  /** A command was left without an answer, or a setting refused that nothing works without. */
  #fell(fault: Fault): void {
    if (!this.#isOpen) return
    if (fault.code !== 'BW_UNREACHABLE') return this.#careWithin(careWhileUnready)
    this.#careWithin(0 as Milliseconds)
    this.#isFresh = true
    this.#silences += 1
    if (this.#silences < silencesMost) return
    this.#isOpen = false
    this.#tell({ kind: 'reopen' })
  }

  #careWithin(span: Milliseconds): void {
    this.#careDue = Math.min(this.#careDue, this.#moment.now + span) as MonotonicMs
  }

  #beginSending(outgoing: Outgoing, now: MonotonicMs): void {
    this.#reference = (this.#reference + 1) % 256
    const { receipts, within } = this.#options
    const script = sendText({
      ...{ to: outgoing.to, text: outgoing.text, reference: this.#reference, receipt: receipts },
      ...{ format: this.#format, within: Math.min(within, submitWithin) as Milliseconds },
    })
    this.#runner.run(script, (end) => this.#sent(outgoing, end), now)
  }

  #sent(outgoing: Outgoing, end: End<TextResult>): void {
    const { attempt, call, to } = outgoing
    if (end.kind === 'failed') return this.#notSent(outgoing, end)
    this.#again.delete(attempt)
    if (end.result.kind === 'refused') {
      const { outcome, error } = end.result
      this.#tell({ kind: 'sent', attempt, outcome, detail: `the modem did not send it: ${error.words}` })
      // It may have lost its settings, its card or its network.
      return this.#careWithin(0 as Milliseconds)
    }
    const { references } = end.result
    this.#awaiting = awaitReceipt(this.#awaiting, { call, to: to.digits, references })
    const numbers = references.length === 0 ? '' : `, reference ${references.join(', ')}`
    this.#tell({ kind: 'sent', attempt, outcome: 'accepted', detail: `the network took it${numbers}` })
  }

  /** A text that the modem has not got yet waits for it to be back, once; for one that it may have sent the call-out decides. */
  #notSent(outgoing: Outgoing, { fault, inDoubt }: Extract<End<TextResult>, { kind: 'failed' }>): void {
    const { attempt } = outgoing
    if (!inDoubt && !this.#again.has(attempt)) {
      this.#again.add(attempt)
      this.#queue = [outgoing, ...this.#queue]
    } else {
      this.#again.delete(attempt)
      const doubt = inDoubt ? '; it may have been sent all the same' : ''
      this.#tell({ kind: 'sent', attempt, outcome: 'temporary', detail: `${fault.message}${doubt}` })
    }
    this.#observe({ kind: 'unready', why: fault.message })
    this.#fell(fault)
  }

  /** What cannot be deleted stays in hand, or it would be handed over every minute. */
  #afterDeletion(deletion: Deletion, end: End<readonly AnswerLine[] | null>): void {
    if (end.kind === 'done') {
      if (end.result !== null) this.#inbox = deleted(this.#inbox, deletion)
      return
    }
    this.#inbox = { ...this.#inbox, deletions: [deletion, ...this.#inbox.deletions] }
    this.#observe({ kind: 'unready', why: end.fault.message })
    this.#fell(end.fault)
  }

  #notice({ text, body }: AnswerLine): void {
    if (/^\+CMTI:|^\+CDSI:/.test(text)) return this.#careWithin(0 as Milliseconds)
    const incoming = body === null ? receiptInTextMode(text) : readIncoming(body)
    if (incoming.kind === 'receipt') return this.#receive(incoming)
    if (incoming.kind === 'unreadable') return this.#tell(incoming)
    // Texts that are not stored: nobody keeps them for us, so there is nothing to delete.
    const { from, at } = incoming
    if (incoming.text !== null) {
      this.#tell({ kind: 'text', text: { from, at, text: incoming.text, places: [] }, round: this.#round })
    }
  }

  #receive(incoming: Extract<Incoming, { kind: 'receipt' }>): void {
    const { awaiting, receipt } = received(this.#awaiting, incoming)
    this.#awaiting = awaiting
    if (receipt !== null) this.#tell({ kind: 'receipt', receipt })
  }

  #observe(health: ModemHealth): void {
    const before = this.#watched
    this.#watched = observed(before, health, this.#moment.now)
    if (before.health !== health) this.#tell({ kind: 'health', health })
    const { trouble } = this.#watched
    if ((before.trouble === null) !== (trouble === null)) this.#tell({ kind: 'trouble', why: trouble })
    this.#refuseInTrouble()
  }

  /** In trouble nothing waits: the person's next channel is taken at once. */
  #refuseInTrouble(): void {
    const { trouble, health } = this.#watched
    if (trouble === null) return
    const outcome = health.kind === 'locked' ? 'permanent' : 'temporary'
    for (const { attempt } of this.#queue.splice(0)) {
      this.#again.delete(attempt)
      this.#tell({ kind: 'sent', attempt, outcome, detail: trouble })
    }
  }
}
