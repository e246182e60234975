import { connect, type IClientOptions } from 'mqtt'
import type { Clock } from '../ports/clock.js'
import type { Log } from '../ports/log.js'
import { after, epochMs, hours, type EpochMs, type Milliseconds } from '../units/time.js'
import type { Greenhouse } from './greenhouse.js'
import type { PracticeMessage } from './talker.js'

export interface PracticeBroker {
  /** `mqtt://127.0.0.1:1883` */
  readonly url: string
  readonly clientId: string
  readonly username?: string
  readonly password?: string
}

export interface PublishRequest {
  readonly greenhouse: Greenhouse
  readonly clock: Clock
  readonly log: Log
  readonly broker: PracticeBroker
  /** After a longer gap (the machine slept) the farm lives on, but what it said then is left out. Default one hour. */
  readonly catchUp?: Milliseconds
}

export interface PracticePublisher {
  /** Messages that the broker has acknowledged. */
  acknowledged(): number
  /** Messages handed over and not yet acknowledged. */
  waiting(): number
  /** Stops the farm and lets go of the broker; what waits is waited for while the broker is there. */
  stop(): Promise<void>
}

/** Messages that may wait for a broker that is away: some two hours of Larkfield. Beyond it new ones are left out, told. */
const mostWaiting = 20_000

/**
 * Lets a greenhouse speak over MQTT, QoS 1, in step with the clock, as its probes would. A broker that is away is tried
 * again every second; what was said meanwhile waits. Nothing is left out without a line in the log.
 */
export function publishGreenhouse(request: PublishRequest): PracticePublisher {
  const { greenhouse, clock, log, broker, catchUp = hours(1) } = request
  const client = connect(broker.url, clientOptions(broker))
  const counts = { acknowledged: 0, waiting: 0, leftOut: 0 }
  client.on('error', (error) =>
    log.warn({ why: error.message }, 'the practice greenhouse cannot reach the broker'),
  )
  client.on('connect', () => log.info({ url: withoutSecrets(broker.url) }, 'the practice greenhouse speaks'))

  let last = clock.now()
  let allTaken = (): void => {}
  /** Once nothing waits any more, or the broker is gone: mqtt's own gentle end was seen to wait for ever. */
  const taken = (): Promise<void> =>
    new Promise((resolve) => {
      if (!client.connected || counts.waiting === 0) return resolve()
      allTaken = resolve
      client.once('close', () => resolve())
    })
  const publish = (message: PracticeMessage): void => {
    if (counts.waiting >= mostWaiting) {
      if (counts.leftOut++ === 0)
        log.warn({ waiting: mostWaiting }, 'the broker is away too long: messages are left out')
      return
    }
    if (counts.leftOut > 0) log.warn({ leftOut: counts.leftOut }, 'the practice greenhouse speaks again')
    counts.leftOut = 0
    counts.waiting++
    client.publish(message.topic, message.payload, { qos: 1, retain: message.retain }, (error) => {
      counts.waiting--
      if (error === undefined || error === null) counts.acknowledged++
      else log.warn({ topic: message.topic, why: error.message }, 'a practice message was not taken')
      if (counts.waiting === 0) allTaken()
    })
  }
  const alarm = clock.alarmClock(() => {
    const now = clock.now()
    const heardFrom = epochMs(now - catchUp)
    const skipped = passOver(greenhouse, last, heardFrom)
    if (skipped > 0) log.info({ skipped }, 'the practice greenhouse slept: what it said then is left out')
    for (const message of greenhouse.advanceTo(now)) publish(message)
    last = now
    alarm.setFor(greenhouse.nextAt())
  })
  alarm.setFor(greenhouse.nextAt())
  return {
    acknowledged: () => counts.acknowledged,
    waiting: () => counts.waiting,
    async stop() {
      alarm.close()
      await taken()
      if (counts.waiting > 0) {
        log.warn({ leftOut: counts.waiting }, 'the practice greenhouse stops while the broker is away')
      }
      await client.endAsync(true)
    },
  }
}

const clientOptions = ({ clientId, username, password }: PracticeBroker): IClientOptions => ({
  clientId,
  reconnectPeriod: 1000,
  ...(username === undefined ? {} : { username }),
  ...(password === undefined ? {} : { password }),
})

/** Lets the farm live unheard until `until`, an hour at a time so that little is held in memory. Returns what it said. */
function passOver(greenhouse: Greenhouse, from: EpochMs, until: EpochMs): number {
  let count = 0
  for (let at = from; at < until;) {
    at = epochMs(Math.min(after(at, hours(1)), until))
    count += greenhouse.advanceTo(at).length
  }
  return count
}

/** A password may stand in the URL; it must not stand in the log. */
function withoutSecrets(url: string): string {
  const { protocol, host } = new URL(url)
  return `${protocol}//${host}`
}
