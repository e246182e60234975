import { Aedes, type AedesOptions, type Client, type PublishPacket } from 'aedes'
import { createTally } from '../decoding/tally.js'
import { Fault } from '../errors.js'
import { milliseconds } from '../units/time.js'
import { acknowledgementsInOrder, type Acknowledgements } from './acknowledgements.js'
import { openDoor } from './embedded-door.js'
import { hearing } from './hearing.js'
import { isLoopback, loginCheck } from './login.js'
import type { Ears, EmbeddedOptions } from './options.js'
import { isReserved, offline, stateTopic } from './own-topics.js'
import { retainedLimit } from './retained-limit.js'
import { roomGate } from './room-gate.js'
import { troubles } from './troubles.js'
import type { Publisher } from '../ports/publisher.js'

/** Packets that the library works on at once, over all clients; it also bounds the listeners of a socket. */
const concurrency = 1000
/** How long a new connection may take to say who it is. */
const connectTimeout = milliseconds(10_000)
/**
 * How long a subscriber may leave its socket full. While it does, deliveries wait for it, and with them the readings
 * of probes: a sleeping tablet must not hold up the watch for the library's minute.
 */
const drainTimeout = milliseconds(5000)

/** Also how an embedded broker is told apart from an outside one: it has a port of its own. */
export interface OwnEars extends Ears {
  readonly port: number
}

/**
 * Opens Bellwater's own broker (MQTT 3.1.1). A QoS 1 message is acknowledged only after the watch has committed it.
 * It keeps no sessions for clients that are away (a client that asks for one gets a clean one and is told so), since
 * their messages would pile up in memory: for that, run a broker of its own and set broker.url.
 * Throws BW_LISTEN when the port cannot be had, BW_CONFIG when others could reach it without a password.
 */
export async function openEmbeddedBroker(options: EmbeddedOptions): Promise<OwnEars> {
  const { host, port, login, log } = options
  if (login === null && !isLoopback(host)) {
    throw new Fault(
      'BW_CONFIG',
      `broker.embedded.listen ${host}:${port}: anyone on the network could send readings`,
      'set broker.embedded.username and password_file, or listen on 127.0.0.1',
    )
  }
  const trouble = troubles(options.onTrouble)
  const ears = hearing(options)
  const refusals = createTally()
  const turnedAway = (from: string, why: string): void => {
    if (
      refusals.note(
        { kind: 'rejected', topic: from, reason: why },
        options.clock.now(),
        options.clock.monotonic(),
      )
    ) {
      log.warn({ from, why }, 'a client was turned away')
    }
  }
  const intake = publishHandler(options, ears.hear, turnedAway)
  const broker = await startBroker({
    ...admission(options, turnedAway),
    authorizePublish: intake.authorizePublish,
  })
  broker.on('clientError', (client, error) =>
    log.debug({ client: client.id, why: error.message }, 'a client broke off'),
  )
  broker.on('connectionError', (_client, error) => turnedAway('before its name was known', error.message))
  const door = await openDoor({
    host,
    port,
    enter: (socket) => void broker.handle(socket),
    turnedAway,
    broke: (why) => trouble.set('connection', why),
  })
  log.info({ address: door.address }, 'our own broker listens')
  const publisher = ownPublisher(broker)
  return {
    publisher,
    address: door.address,
    port: door.port,
    refresh: () => undefined,
    counts: () => ({ ...ears.counts(), waiting: intake.waiting(), connected: broker.connectedClients }),
    passedBy: () => ears.passedBy(),
    async close() {
      await publisher.publish(stateTopic(options.farm), offline, { retain: true })
      await new Promise<void>((resolve) => broker.close(resolve))
      await door.close()
    },
  }
}

async function startBroker(options: AedesOptions): Promise<Aedes> {
  return Aedes.createBroker({ concurrency, connectTimeout, drainTimeout, ...options })
}

type TurnedAway = (from: string, why: string) => void

/** Who may come in. */
function admission({ login }: EmbeddedOptions, turnedAway: TurnedAway): AedesOptions {
  const isRight = loginCheck(login)
  return {
    preConnect(_client, packet, done) {
      packet.clean = true
      done(null, true)
    },
    authenticate(client, username, password, done) {
      if (isRight(username, password)) return done(null, true)
      turnedAway(remoteAddress(client), 'wrong user name or password')
      done(Object.assign(new Error('wrong user name or password'), { returnCode: badLogin }), false)
    },
  }
}

/** CONNACK return code (MQTT 3.1.1, table 3.1). */
const badLogin = 4

const remoteAddress = ({ conn }: Client): string =>
  'remoteAddress' in conn ? (conn.remoteAddress ?? '?') : '?'

type Done = (error?: Error | null) => void

/**
 * The library asks here before it acknowledges or passes on a message, and waits for the answer: the only place from
 * which the PUBACK can be made to wait for the commit. It reads no more from a client whose messages wait here.
 */
function publishHandler(
  options: EmbeddedOptions,
  hear: ReturnType<typeof hearing>['hear'],
  turnedAway: TurnedAway,
) {
  const gate = roomGate(options.intake)
  const mayKeep = retainedLimit()
  const lines = new WeakMap<Client, Acknowledgements>()
  let waiting = 0

  function inTurn(client: Client | null, done: Done): () => void {
    if (client === null) return done
    const line = lines.get(client) ?? acknowledgementsInOrder()
    lines.set(client, line)
    waiting += 1
    return line.expect(() => {
      waiting -= 1
      done()
    })
  }

  return {
    waiting: () => waiting,
    authorizePublish(client: Client | null, packet: PublishPacket, done: Done): void {
      const { topic } = packet
      const payload = typeof packet.payload === 'string' ? Buffer.from(packet.payload) : packet.payload
      if (isReserved(topic, options.farm)) {
        turnedAway(
          client === null ? '?' : remoteAddress(client),
          `it published to ${topic.slice(0, 80)}, which is reserved`,
        )
        return done(new Error('this topic is reserved'))
      }
      if (packet.retain && !mayKeep(topic, payload.length)) packet.retain = false
      // To the watch it is no retained message: it has just been said.
      const message = { topic, payload, retained: false }
      if (packet.qos === 0) {
        gate.enter(() => {
          hear(message, () => undefined)
          done()
        })
      } else {
        const acknowledge = inTurn(client, done)
        gate.enter(() => hear(message, acknowledge))
      }
    },
  }
}

function ownPublisher(broker: Aedes): Publisher {
  return {
    publish: (topic, payload, { retain }) =>
      new Promise((resolve, reject) => {
        const packet = {
          cmd: 'publish',
          topic,
          payload: Buffer.from(payload),
          qos: 1,
          retain,
          dup: false,
        } as const
        broker.publish(packet, (error) => {
          if (error)
            reject(
              new Fault('BW_BROKER', `our own broker did not take a message: ${error.message}`, '', {
                cause: error,
              }),
            )
          else resolve()
        })
      }),
  }
}
