import { Duplex } from 'node:stream'
import { MqttClient, type Packet } from 'mqtt'

// mqtt.js answers a QoS 1 message as soon as its handler is done with it, and handles one message at a time: to answer
// only after the commit, the public way is to keep the handler waiting, which allows one message for each commit. To
// commit many messages at once, only the PUBACK must be held back, and for that there is no public way. So the private
// method through which all packets leave is replaced. The version of mqtt is pinned exactly, and `pubacksCanBeHeld`
// tries at every start whether it still works.

/** Sends the PUBACK of a message that was held back. */
export type SendPuback = (messageId: number) => void

/** From here on the client sends no PUBACK of its own accord; the returned function does. */
export function holdPubacks(client: MqttClient): SendPuback {
  const send = client['_sendPacket'].bind(client)
  const hold = (packet: Packet, done?: () => void, ...rest: unknown[]): void => {
    if (packet.cmd === 'puback') done?.()
    else Reflect.apply(send, client, [packet, done, ...rest])
  }
  client['_sendPacket'] = hold
  return (messageId) => send({ cmd: 'puback', messageId, reasonCode: 0 })
}

/** CONNACK (accepted) and a QoS 1 PUBLISH of "x" to "a" with number 1, as MQTT 3.1.1 writes them (3.2, 3.3). */
const broker = Buffer.from([0x20, 2, 0, 0, 0x32, 6, 0, 1, 0x61, 0, 1, 0x78])
/** First byte of a PUBACK (3.4). */
const pubackByte = 0x40

/**
 * Tries it out, on a client of its own in memory: whether a PUBACK stays away until it is sent by hand, and then comes.
 * False when the library has changed inside; the caller then takes the slow public way.
 */
export function pubacksCanBeHeld(hold = holdPubacks): Promise<boolean> {
  const sent: number[] = []
  return new Promise((resolve) => {
    const stream = new Duplex({
      read() {},
      write(chunk: Uint8Array, _encoding, done) {
        sent.push(chunk[0] ?? 0)
        done()
      },
    })
    const client = new MqttClient(() => stream, { manualConnect: true, reconnectPeriod: 0, keepalive: 0 })
    const finish = (held: boolean): void => {
      client.end(true)
      resolve(held)
    }
    const send = 'bind' in Object(client['_sendPacket']) ? hold(client) : null
    client.on('error', () => finish(false))
    client.handleMessage = (_packet, done) => {
      done()
      // What the library writes itself is in the stream by the time that a write of our own has come out.
      stream.write(Buffer.from([0]), () => {
        const stayedAway = !sent.includes(pubackByte)
        if (send === null || !stayedAway) return finish(false)
        send(1)
        stream.write(Buffer.from([0]), () => finish(sent.includes(pubackByte)))
      })
    }
    client.connect()
    stream.push(broker)
  })
}
