import type { ServerResponse } from 'node:http'
import type { Line } from '../journal/line.js'
import type { Clock } from '../ports/clock.js'
import type { Log } from '../ports/log.js'
import { after, milliseconds, seconds, type EpochMs, type MonotonicMs } from '../units/time.js'
import type { Now } from './contract.js'
import { changeOf } from './now.js'

/** Values are looked at this often while anybody listens. */
const valuesEvery = seconds(1)
/** A line (alarm, call, verdict) is told this soon; more lines within it go together. */
const lineAfter = milliseconds(200)
/** Proxies cut silent streams after a minute or less (common practice); the page takes 25 s of silence for "no connection". */
const beatEvery = seconds(10)
/** A phone in a dead spot must not make the daemon hoard: beyond this it is dropped and will come back by itself. */
export const bufferMax = 256 * 1024
/** A farm has a handful of phones; more is a mistake or an attack. */
export const listenersMax = 40

export interface Feed {
  /** `open` begins the answer once the state could be read. False when there are too many listeners already. */
  join(open: () => ServerResponse): boolean
  listeners(): number
  close(): void
}

export interface FeedSource {
  readonly read: () => Now
  readonly subscribe: (tell: (line: Line) => void) => () => void
  readonly clock: Clock
  readonly log: Log
}

/**
 * Live changes as server-sent events (WHATWG HTML, 9.2): `now` (all) on joining, then `change` at a bounded rate,
 * `call` when a call was made or its outcome known, `beat` with a comment so that both proxies and pages see life.
 */
export function openFeed({ read, subscribe, clock, log }: FeedSource): Feed {
  const listeners = new Set<ServerResponse>()
  let known: Now | null = null
  let count = 0
  let callTold = false
  let due: EpochMs | null = null
  let beatAt: MonotonicMs | null = null

  const send = (response: ServerResponse, text: string) => {
    if (response.destroyed) return void listeners.delete(response)
    response.write(text)
    if (response.writableLength <= bufferMax) return
    log.info({ waiting: response.writableLength }, 'a slow listener was dropped')
    listeners.delete(response)
    response.destroy()
  }
  const frame = (event: string, data: unknown) => {
    count += 1
    return `id: ${count}\nevent: ${event}\ndata: ${JSON.stringify(data)}\n\n`
  }
  const tellAll = (text: string) => {
    for (const response of [...listeners]) send(response, text)
  }
  const alarmClock = clock.alarmClock(() => {
    due = null
    turn()
  })
  const wakeWithin = (span: typeof valuesEvery) => {
    const at = after(clock.now(), span)
    if (due !== null && due <= at) return
    due = at
    alarmClock.setFor(at)
  }
  const tellChange = () => {
    const next = read()
    const change = known === null ? 'all' : changeOf(known, next)
    known = next
    if (change !== null) tellAll(change === 'all' ? frame('now', next) : frame('change', change))
    return change
  }
  const turn = () => {
    if (listeners.size === 0) return
    try {
      tellChange()
    } catch (err) {
      // The stream stays open: the page grows old visibly by itself, and the next turn may work again.
      log.error({ err }, 'the state could not be read for the pages')
    }
    if (callTold) tellAll(frame('call', { at: clock.now() }))
    callTold = false
    const tick = clock.monotonic()
    if (beatAt === null || tick - beatAt >= beatEvery) {
      beatAt = tick
      tellAll(`: still here\n${frame('beat', { at: clock.now() })}`)
    }
    wakeWithin(valuesEvery)
  }
  // Due times are wall time: set back an hour, the clock would leave the pages an hour without a word.
  clock.onStep(() => {
    due = null
    if (listeners.size > 0) wakeWithin(lineAfter)
  })
  const stop = subscribe((line) => {
    if (listeners.size === 0) return
    if (line.event === 'message' || line.event === 'delivery') callTold = true
    wakeWithin(lineAfter)
  })

  return {
    join(open) {
      if (listeners.size >= listenersMax) return false
      // Those already here are brought up to date first, so that one state is the base of the next change for all.
      tellChange()
      const response = open()
      listeners.add(response)
      response.on('close', () => listeners.delete(response))
      send(response, `retry: 2000\n${frame('now', known)}`)
      wakeWithin(valuesEvery)
      return true
    },
    listeners: () => listeners.size,
    close() {
      stop()
      alarmClock.close()
      for (const response of listeners) response.end()
      listeners.clear()
    },
  }
}
