import type { Channel, Letter, Sent } from '../ports/channel.js'
import type { AlarmClock, Clock } from '../ports/clock.js'
import type { Log } from '../ports/log.js'
import { after, milliseconds, seconds, type EpochMs, type MonotonicMs } from '../units/time.js'
import { errorText, outcome } from './detail.js'
import { limited, type Attempts } from './limited.js'
import { devicesLike } from './modem/device.js'
import type { ModemHealth } from './modem/health.js'
import { phoneNumberOf } from './modem/phone-number.js'
import type { PinMemory } from './modem/pin-memory.js'
import type { Receipt } from './modem/receipts.js'
import { openLine, type SerialLine } from './modem/serial-line.js'
import { Session, type Moment, type SessionEffect } from './modem/session.js'
import type { StoredText } from './modem/stored-texts.js'
import { piecesOf, alphabetFor } from './modem/user-data.js'
import type { Limited } from './options.js'

export interface ModemOptions extends Limited {
  /** `/dev/ttyUSB0`, `/dev/serial/by-id/…`, or with `*` and `?` in its last part. */
  readonly device: string
  readonly baud: number
  readonly pin: string | null
  /** Whether the network is asked to say when a text was delivered. */
  readonly receipts: boolean
}

/** A text that somebody sent to the modem. */
export interface IncomingText {
  readonly from: string
  readonly text: string
  /** When the service centre took it; when it was read, where that is not known. */
  readonly at: EpochMs
}

export interface ModemEvents {
  /** Something is the matter with it; null when that is over. */
  trouble(why: string | null): void
  /** Deleted from the card when this resolves; read again later when it rejects. May come twice after a restart. */
  text(text: IncomingText): Promise<void>
  /** What the network says of a letter that it took; only of those sent since the start. */
  receipt(receipt: Receipt): void
}

export interface ModemSurroundings {
  readonly clock: Clock
  readonly log: Log
  readonly pinMemory: PinMemory
  readonly events: ModemEvents
}

export interface ModemChannel extends Channel {
  health(): ModemHealth
}

/** A device that is not there is looked for this often (our choice: a modem plugged in again takes as long to start). */
const lookEvery = seconds(2)
/** More pieces than this nobody reads at night; ours are one message (contract 6: at most 160 characters). */
const piecesMost = 8

/**
 * Texts through a GSM modem on a serial line (3GPP TS 27.005, 27.007, 23.040): works when the internet does not. Opens at
 * once and looks for the device for ever. Accepted means that the network took it.
 */
export function modemChannel(options: ModemOptions, around: ModemSurroundings): ModemChannel {
  return new Modem(options, around)
}

class Modem implements ModemChannel {
  readonly name: string
  readonly #attempts: Attempts<Letter>
  readonly #session: Session
  readonly #alarmClock: AlarmClock
  readonly #waiting = new Map<number, (sent: Sent) => void>()
  #nextAttempt = 1
  #line: SerialLine | null = null
  #opening: Promise<void> | null = null
  #lookDue: MonotonicMs | null = null
  /** Which of several devices that match is tried. */
  #candidate = 0
  #isClosed = false
  #goneTold = ''

  constructor(
    private readonly options: ModemOptions,
    private readonly around: ModemSurroundings,
  ) {
    const { name, within, pin, receipts } = options
    const { clock, pinMemory } = around
    this.name = name
    const isPinRefused = pin !== null && pinMemory.isRefused(pin)
    this.#session = new Session({ pin, isPinRefused, receipts, within }, this.#moment())
    this.#alarmClock = clock.alarmClock(() => this.#wake())
    // Due times are of the clock that never jumps; the one that wakes us does.
    clock.onStep(() => this.#setAlarm())
    this.#attempts = limited((letter: Letter, signal) => this.#send(letter, signal), { within })
    this.#look()
  }

  send(letter: Letter): Promise<Sent> {
    return this.#attempts.attempt(letter)
  }

  health(): ModemHealth {
    return this.#session.health()
  }

  async close(): Promise<void> {
    this.#isClosed = true
    this.#alarmClock.close()
    await this.#attempts.close()
    await this.#opening
    await this.#line?.close()
    this.#line = null
  }

  #send(letter: Letter, signal: AbortSignal): Promise<Sent> {
    const to = phoneNumberOf(letter.address)
    if (to === null) return Promise.resolve(outcome('permanent', 'the address is not a phone number'))
    const pieces = piecesOf(letter.text, alphabetFor(letter.text)).length
    if (letter.text === '' || pieces > piecesMost) {
      return Promise.resolve(outcome('permanent', `a text of ${pieces} messages, or of none, is not sent`))
    }
    const attempt = this.#nextAttempt++
    return new Promise((resolve) => {
      this.#waiting.set(attempt, resolve)
      signal.addEventListener('abort', () => {
        this.#waiting.delete(attempt)
        this.#session.withdraw(attempt)
      })
      this.#perform(this.#session.submit({ attempt, call: letter.id, to, text: letter.text }, this.#moment()))
    })
  }

  #moment(): Moment {
    const { clock } = this.around
    return { at: clock.now(), now: clock.monotonic() }
  }

  #perform(effects: readonly SessionEffect[]): void {
    for (const effect of effects) this.#performOne(effect)
    this.#setAlarm()
  }

  #performOne(effect: SessionEffect): void {
    const { log, events } = this.around
    switch (effect.kind) {
      case 'write':
        return this.#line?.write(effect.text)
      case 'sent':
        this.#waiting.get(effect.attempt)?.(outcome(effect.outcome, effect.detail, this.#secrets()))
        this.#waiting.delete(effect.attempt)
        return
      case 'receipt':
        return events.receipt(effect.receipt)
      case 'text':
        return this.#handOver(effect.text, effect.round)
      case 'health':
        return log.debug({ channel: this.name, health: effect.health }, 'how the modem is')
      case 'trouble':
        if (effect.why === null) log.info({ channel: this.name }, 'the modem works again')
        else log.warn({ channel: this.name, why: effect.why }, 'the modem cannot send')
        return events.trouble(effect.why)
      case 'reopen':
        return this.#leave()
      case 'pin-refused':
        return this.#rememberPin()
      case 'unreadable':
        return log.warn({ channel: this.name, why: effect.why }, 'something that came in cannot be read')
    }
  }

  #secrets(): readonly string[] {
    return this.options.pin === null ? [] : [this.options.pin]
  }

  #handOver(text: StoredText, round: number): void {
    const { events, log } = this.around
    const settle = (isDone: boolean): void =>
      this.#perform(this.#session.settle(text, { isDone, round }, this.#moment()))
    events.text({ from: text.from, text: text.text, at: text.at ?? this.#moment().at }).then(
      () => settle(true),
      (cause: unknown) => {
        log.warn(
          { err: cause, channel: this.name },
          'a text that came in could not be handed over: read again',
        )
        settle(false)
      },
    )
  }

  #rememberPin(): void {
    const { pin } = this.options
    if (pin === null) return
    this.around.pinMemory.refused(pin).catch((cause: unknown) => {
      this.around.log.error(
        { err: cause, channel: this.name },
        'it could not be kept that the SIM card refused the PIN: mend it before the next start',
      )
    })
  }

  #wake(): void {
    const moment = this.#moment()
    if (this.#lookDue !== null && this.#lookDue <= moment.now) this.#look()
    this.#perform(this.#session.tick(moment))
  }

  #setAlarm(): void {
    if (this.#isClosed) return
    const { at, now } = this.#moment()
    const dues = [this.#session.due(), this.#lookDue].filter((due) => due !== null)
    this.#alarmClock.setFor(
      dues.length === 0 ? null : after(at, milliseconds(Math.max(0, Math.min(...dues) - now))),
    )
  }

  #look(): void {
    this.#lookDue = null
    if (this.#opening !== null || this.#isClosed) return
    this.#opening = this.#open()
      .catch((cause: unknown) => this.#gone(`the modem cannot be opened: ${errorText(cause)}`, true))
      .finally(() => {
        this.#opening = null
        this.#setAlarm()
      })
  }

  async #open(): Promise<void> {
    const { device, baud } = this.options
    const devices = await devicesLike(device)
    const path = devices[this.#candidate % Math.max(1, devices.length)]
    if (path === undefined) return this.#gone(`there is no device like ${device}`, true)
    const line = await openLine(
      { path, baud },
      {
        heard: (text) => this.#perform(this.#session.heard(text, this.#moment())),
        gone: (why) => this.#gone(`the modem is gone from ${path}: ${why}`, false),
      },
    )
    this.#line = line
    this.#goneTold = ''
    this.around.log.info({ channel: this.name, device: path }, 'the modem’s line is open')
    this.#perform(this.#session.opened(this.#moment()))
  }

  #gone(why: string, isNext: boolean): void {
    if (this.#isClosed) return
    if (isNext) this.#candidate += 1
    this.#line = null
    this.#lookAgain()
    // Looked for every two seconds, said once.
    if (why !== this.#goneTold)
      this.around.log.info({ channel: this.name, why }, 'the modem’s line is closed')
    this.#goneTold = why
    this.#perform(this.#session.gone(why, this.#moment()))
  }

  /** Nobody answers on this line: another device may be the right one. */
  #leave(): void {
    const line = this.#line
    this.#line = null
    this.#candidate += 1
    const again = (): void => {
      this.#lookAgain()
      this.#setAlarm()
    }
    if (line === null) return again()
    line.close().then(again, again)
  }

  #lookAgain(): void {
    this.#lookDue = (this.around.clock.monotonic() + lookEvery) as MonotonicMs
  }
}
