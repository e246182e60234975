import { connect, type IClientOptions, type MqttClient } from 'mqtt'
import { Fault } from '../errors.js'
import { days, milliseconds } from '../units/time.js'
import { explainError } from './explain-error.js'
import { offline, stateTopic } from './own-topics.js'
import type { OutsideOptions } from './options.js'
import { packetGuard, packetMax } from './packet-guard.js'
import { nextProtocol, reconnectDelay, type FailedTry } from './reconnect.js'

/** How long a broker keeps our session and what comes for it; longer than any repair takes (MQTT 5.0, 3.1.2.11.2). */
const sessionExpiry = days(30)
/** Messages that an MQTT 5 broker may have on their way to us at once (3.1.2.11.3); with 3.1.1 it decides alone. */
const receiveMax = 1000
/** How long a broker may take to let us in. */
const connectTimeout = milliseconds(10_000)
/** The wait before trying the other version of MQTT: the broker is there and has just answered. */
const otherVersionDelay = milliseconds(20)

/** What is told of a connection. */
export interface ConnectionEvents {
  /** A session stands; `resumed` when the broker still had one for us. */
  readonly up: (resumed: boolean) => void
  /** The connection is gone, or a try failed; told each time, with the reason if one is known. */
  readonly down: (why: string) => void
}

export interface OutsideConnection {
  readonly client: MqttClient
  readonly address: string
  /** The protocol level spoken: 5, or 4 for MQTT 3.1.1. */
  readonly protocol: () => 4 | 5
  /** Starts; from here on it keeps trying by itself. Attach everything before. */
  readonly start: () => void
}

/** A client that keeps coming back. Throws BW_CONFIG when the address is none. */
export function outsideConnection(options: OutsideOptions, events: ConnectionEvents): OutsideConnection {
  const wanted = options.protocol === '5' ? 5 : 4
  const address = addressOf(options.url)
  const client = connect(options.url, clientOptions(options, wanted))
  const attempt = { tries: 0, answered: false, reason: null as string | null, reached: false }

  function waitBeforeNext(): void {
    client.options.reconnectPeriod = reconnectDelay(attempt.tries, options.random())
  }

  function changeProtocol(failed: FailedTry): void {
    const present = client.options.protocolVersion === 5 ? 5 : 4
    const next = nextProtocol(wanted, present, failed)
    if (next === present) return
    options.log.info(
      { from: present, to: next },
      'the broker does not speak this version of MQTT, trying the other one',
    )
    speak(client.options, next)
    client.options.reconnectPeriod = otherVersionDelay
  }

  client.on('packetsend', (packet) => {
    if (packet.cmd !== 'connect') return
    Object.assign(attempt, { answered: false, reached: false, reason: null })
    const guard = packetGuard()
    client.stream.once('connect', () => (attempt.reached = true))
    client.stream.on('data', (chunk: Uint8Array) => {
      attempt.answered = true
      if (guard(chunk)) return
      attempt.reason = `the broker at ${address} sent a packet of more than ${packetMax} bytes`
      client.stream.destroy()
    })
  })
  client.on('connect', ({ sessionPresent }) => {
    attempt.tries = 0
    waitBeforeNext()
    events.up(sessionPresent)
  })
  client.on('reconnect', () => {
    attempt.tries += 1
    waitBeforeNext()
  })
  client.on('error', (error) => {
    attempt.reason ??= explainError(error, address)
    if ('code' in error && (error.code === 1 || error.code === 132))
      changeProtocol({ kind: 'version-refused' })
  })
  client.on('disconnect', (packet) => {
    attempt.reason ??= explainError({ code: packet.reasonCode }, address)
  })
  client.on('close', () => {
    if (attempt.reached && !attempt.answered && attempt.reason === null) changeProtocol({ kind: 'hung-up' })
    events.down(attempt.reason ?? `the connection to the broker at ${address} is lost`)
  })
  return {
    client,
    address,
    protocol: () => (client.options.protocolVersion === 5 ? 5 : 4),
    start: () => void client.connect(),
  }
}

function clientOptions(options: OutsideOptions, protocol: 4 | 5): IClientOptions {
  const { ca, cert, key } = options.tls
  const made: IClientOptions = {
    manualConnect: true,
    clientId: options.clientId,
    clean: false,
    keepalive: Math.max(1, Math.round(options.keepAlive / 1000)),
    connectTimeout,
    reconnectPeriod: reconnectDelay(0, options.random()),
    reconnectOnConnackError: true,
    // What is listened to is asked for by hand with every session, so that refusals are seen.
    resubscribe: false,
    queueQoSZero: false,
    will: { topic: stateTopic(options.farm), payload: Buffer.from(offline), qos: 1, retain: true },
    ...(options.username !== null && { username: options.username }),
    ...(options.password !== null && { password: options.password.reveal() }),
    ...(ca !== null && { ca: ca.reveal() }),
    ...(cert !== null && { cert: cert.reveal() }),
    ...(key !== null && { key: key.reveal() }),
  }
  speak(made, protocol)
  return made
}

function speak(options: IClientOptions, protocol: 4 | 5): void {
  options.protocolVersion = protocol
  if (protocol === 4) delete options.properties
  else {
    options.properties = {
      sessionExpiryInterval: sessionExpiry / 1000,
      receiveMaximum: receiveMax,
      maximumPacketSize: packetMax,
    }
  }
}

/** Host and port for messages, without anything that might be secret. */
function addressOf(url: string): string {
  let parsed: URL
  try {
    parsed = new URL(url)
  } catch (cause) {
    throw new Fault('BW_CONFIG', 'broker.url is no address', 'write for example mqtt://broker.lan:1883', {
      cause,
    })
  }
  const { protocol, username, password, hostname } = parsed
  if (!['mqtt:', 'mqtts:', 'ws:', 'wss:'].includes(protocol)) {
    throw new Fault(
      'BW_CONFIG',
      `broker.url begins with ${protocol}//`,
      'write mqtt://, mqtts://, ws:// or wss://',
    )
  }
  if (username !== '' || password !== '') {
    throw new Fault('BW_CONFIG', 'broker.url holds a user name or password', 'use username and password_file')
  }
  const usualPort = { 'mqtt:': '1883', 'mqtts:': '8883', 'ws:': '80', 'wss:': '443' }[protocol] ?? ''
  return `${hostname}:${parsed.port || usualPort}`
}
