import type { IPublishPacket } from 'mqtt'
import type { Acknowledgements } from './acknowledgements.js'
import type { Hearing } from './hearing.js'
import type { SendPuback } from './held-pubacks.js'
import type { RoomGate } from './room-gate.js'

export interface Handling {
  readonly ears: Hearing
  readonly acknowledgements: Acknowledgements
  readonly gate: RoomGate
  /** Null when PUBACKs cannot be held back: then each message waits for its own commit. */
  readonly sendPuback: SendPuback | null
}

/**
 * What mqtt.js calls with each message (its public `handleMessage`). It hands over the next message only after `next`,
 * so without room nothing more is read from the socket.
 */
export function messageHandler({ ears, acknowledgements, gate, sendPuback }: Handling) {
  return ({ topic, payload, qos, messageId, retain }: IPublishPacket, next: () => void): void => {
    const message = {
      topic,
      payload: typeof payload === 'string' ? Buffer.from(payload) : payload,
      retained: retain,
    }
    if (qos === 0 || messageId === undefined) ears.hear(message, () => undefined)
    else if (sendPuback === null) return ears.hear(message, acknowledgements.expect(next))
    else {
      ears.hear(
        message,
        acknowledgements.expect(() => sendPuback(messageId)),
      )
    }
    gate.enter(next)
  }
}
