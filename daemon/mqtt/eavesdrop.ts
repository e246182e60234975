import { connectAsync, type IClientOptions, type MqttClient } from 'mqtt'
import { Fault } from '../errors.js'
import { milliseconds } from '../units/time.js'
import { explainError } from './explain-error.js'
import type { Heard } from './hearing.js'
import type { OutsideOptions } from './options.js'

/** How long a broker may take to let us in: somebody is waiting at a terminal. */
const connectTimeout = milliseconds(5000)

export interface EavesdropOptions extends Pick<OutsideOptions, 'url' | 'username' | 'password' | 'tls'> {
  readonly filter: string
  readonly heard: (message: Heard) => void
  /** The connection broke; nothing more will be heard. */
  readonly lost: () => void
}

/**
 * Listens to what passes on a broker, beside the watch and without disturbing it: a client of its own, without a
 * session, that acknowledges nothing (QoS 0). Throws BW_BROKER when the broker or the subscription cannot be had.
 */
export async function eavesdrop(options: EavesdropOptions): Promise<{ close(): Promise<void> }> {
  const { url, filter, heard } = options
  const address = url.replace(/^\w+:\/\//, '')
  const client = await connected(options, address)
  client.on('message', (topic, payload, { retain }) => heard({ topic, payload, retained: retain }))
  client.on('error', () => undefined)
  client.on('close', options.lost)
  try {
    await client.subscribeAsync(filter, { qos: 0 })
  } catch (cause) {
    await client.endAsync(true)
    throw new Fault(
      'BW_BROKER',
      `the broker at ${address} does not let us listen to ${filter}`,
      'try --topic with what you may hear',
      { cause },
    )
  }
  return {
    async close() {
      client.off('close', options.lost)
      await client.endAsync()
    },
  }
}

async function connected(
  { url, username, password, tls }: EavesdropOptions,
  address: string,
): Promise<MqttClient> {
  const options: IClientOptions = {
    protocolVersion: 4,
    clean: true,
    reconnectPeriod: 0,
    connectTimeout,
    ...(username !== null && { username }),
    ...(password !== null && { password: password.reveal() }),
    ...(tls.ca !== null && { ca: tls.ca.reveal() }),
    ...(tls.cert !== null && { cert: tls.cert.reveal() }),
    ...(tls.key !== null && { key: tls.key.reveal() }),
  }
  try {
    // The library would try again by itself for as long as it is let.
    return await connectAsync(url, options, false)
  } catch (cause) {
    throw new Fault('BW_BROKER', explainError(cause, address), '', { cause })
  }
}
