import type { Channel, Letter, Sent } from '../ports/channel.js'
import type { Clock } from '../ports/clock.js'
import type { Log } from '../ports/log.js'
import { outcome } from './detail.js'

/** Something around a channel that is a channel itself. */
export type Layer = (channel: Channel) => Channel

/** The channel inside its layers, the first outermost. */
export const layered = (channel: Channel, ...layers: readonly Layer[]): Channel =>
  layers.reduceRight((inner, layer) => layer(inner), channel)

/**
 * At most `atOnce` attempts at a time; others wait their turn, at most `waitingMax` of them: beyond, the outcome is temporary,
 * and the call-out tries again or takes another way. A wait ends when those before it do, and each of them has its limit.
 */
export const bounded =
  (atOnce: number, waitingMax: number): Layer =>
  (channel) => {
    const waiting: (() => void)[] = []
    let underWay = 0
    let isClosed = false

    const send = async (letter: Letter): Promise<Sent> => {
      if (underWay >= atOnce) {
        if (waiting.length >= waitingMax) return outcome('temporary', `${waitingMax} messages wait already`)
        await new Promise<void>((turn) => waiting.push(turn))
      } else {
        underWay += 1
      }
      try {
        return isClosed ? outcome('temporary', 'the channel is closed') : await channel.send(letter)
      } finally {
        // The place goes to the next in line, or becomes free.
        const next = waiting.shift()
        if (next === undefined) underWay -= 1
        else next()
      }
    }
    const close = (): Promise<void> => {
      isClosed = true
      return channel.close()
    }
    return { name: channel.name, send, close }
  }

/** Says of each attempt how it went and how long it took; never what was said to whom. */
export const logged =
  (log: Log, clock: Pick<Clock, 'monotonic'>): Layer =>
  (channel) => {
    const send = async (letter: Letter): Promise<Sent> => {
      const start = clock.monotonic()
      const sent = await channel.send(letter)
      const facts = {
        channel: channel.name,
        call: letter.id,
        outcome: sent.kind,
        detail: sent.detail,
        ms: Math.round(clock.monotonic() - start),
      }
      if (sent.kind === 'accepted' || sent.kind === 'delivered') log.info(facts, 'message handed over')
      else log.warn(facts, 'message not handed over')
      return sent
    }
    return { name: channel.name, send, close: () => channel.close() }
  }
