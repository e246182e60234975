import { createHmac } from 'node:crypto'
import { Fault } from '../errors.js'
import type { Channel, Letter, Sent } from '../ports/channel.js'
import type { Clock } from '../ports/clock.js'
import { rfc3339 } from '../units/time.js'
import { errorText, outcome } from './detail.js'
import { httpCall, httpRefusal } from './http-call.js'
import { limited } from './limited.js'
import type { WebhookOptions } from './options.js'

const keyLengthMin = 16

/**
 * A message as JSON to a program of the keeper's own. `Bellwater-Signature: sha256=<hex>` is the HMAC-SHA256 (RFC 2104) of
 * the `Bellwater-Time` header, a line feed and the body, so that the receiver can tell that it is ours and not an old one.
 */
export function webhookChannel(options: WebhookOptions, clock: Pick<Clock, 'now'>): Channel {
  const { name, url, key, within } = options
  if (key.length < keyLengthMin) {
    throw new Fault('BW_CHANNEL', `channel ${name}: the key must have at least ${keyLengthMin} characters`)
  }
  const send = async (letter: Letter, signal: AbortSignal): Promise<Sent> => {
    const time = rfc3339(clock.now())
    const body = JSON.stringify(letter)
    const headers = {
      'Content-Type': 'application/json',
      'Bellwater-Time': time,
      'Bellwater-Signature': `sha256=${createHmac('sha256', key).update(`${time}\n${body}`).digest('hex')}`,
    }
    try {
      const answer = await httpCall({ url, method: 'POST', headers, body }, signal)
      const isTaken = answer.status >= 200 && answer.status < 300
      return isTaken ? outcome('accepted', `HTTP ${answer.status}`) : httpRefusal(answer, [key])
    } catch (error) {
      return outcome('temporary', `the webhook could not be reached: ${errorText(error)}`, [key])
    }
  }
  const { attempt, close } = limited(send, { within, secrets: [key] })
  return { name, send: attempt, close }
}
