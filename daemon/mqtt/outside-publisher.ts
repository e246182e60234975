import type { MqttClient } from 'mqtt'
import { Fault } from '../errors.js'
import type { Publisher } from '../ports/publisher.js'

export interface OutsidePublisher extends Publisher {
  /** A session stands: what we keep retained is said again, since our will has been said, or the broker is a new one. */
  restate(): void
  /** The connection is gone: what was on its way is given up. */
  giveUp(): void
}

/**
 * Publishes at QoS 1. Nothing is kept for later but the last word of each retained topic: a siren that was to be
 * switched on must not start hours afterwards, so a message that cannot go now is refused.
 */
export function outsidePublisher(client: MqttClient, address: string): OutsidePublisher {
  const retained = new Map<string, string>()
  const onTheirWay = new Map<number, () => void>()
  const failed = (why: string, cause?: unknown): Fault =>
    new Fault('BW_BROKER', `the broker at ${address} did not take a message: ${why}`, '', { cause })

  function send(topic: string, payload: string, retain: boolean): Promise<void> {
    return new Promise((resolve, reject) => {
      if (!client.connected) return reject(failed('we are not connected'))
      client.publish(topic, payload, { qos: 1, retain }, (error) => {
        onTheirWay.delete(id)
        if (error) return reject(failed(error.message, error))
        // A retained topic is cleared for good once the broker knows it.
        if (retain && payload === '' && retained.get(topic) === '') retained.delete(topic)
        resolve()
      })
      const id = client.getLastMessageId()
      onTheirWay.set(id, () => void client.removeOutgoingMessage(id))
    })
  }

  return {
    publish(topic, payload, { retain }) {
      if (retain) retained.set(topic, payload)
      return send(topic, payload, retain)
    },
    restate() {
      // A failure here is a lost connection, after which all of it is said again anyway.
      for (const [topic, payload] of retained) send(topic, payload, true).catch(() => undefined)
    },
    giveUp() {
      for (const give of onTheirWay.values()) give()
      onTheirWay.clear()
    },
  }
}
