import { execFileSync } from 'node:child_process'
import { join } from 'node:path'
import { connectAsync, type MqttClient } from 'mqtt'
import { afterEach, beforeEach, expect, it } from 'vitest'
import { silentLog, type Log } from '../../daemon/ports/log.js'
import { createGreenhouse } from '../../daemon/practice/greenhouse.js'
import { publishGreenhouse, type PracticePublisher } from '../../daemon/practice/publish.js'
import type { PracticeMessage } from '../../daemon/practice/talker.js'
import { after, epochMs, hours, milliseconds, minutes } from '../../daemon/units/time.js'
import { FakeClock } from '../support/fake-clock.js'
import { describeWith, startMosquitto, type Mosquitto } from '../support/services.js'

const start = epochMs(Date.parse('2027-01-10T20:00:00Z'))
const greenhouse = () => createGreenhouse({ seed: 1, start, options: { warmUpHours: 0.1 } })
const password = 'not-for-the-log'

/** A broker with one user, which keeps sessions over a restart. */
const openBroker = (): Promise<Mosquitto> =>
  startMosquitto({
    lines: [
      'allow_anonymous false',
      'password_file %folder%/users',
      'persistence true',
      'persistence_location %folder%/',
    ],
    prepare: (folder) =>
      void execFileSync('mosquitto_passwd', ['-b', '-c', join(folder, 'users'), 'keeper', password]),
  })

let listeners = 0

const nextMessage = (client: MqttClient): Promise<void> =>
  new Promise((resolve) => client.once('message', () => resolve()))

/** Somebody who hears all, and can be asked to wait until enough has come. */
async function openListener(
  url: string,
): Promise<{ heard: PracticeMessage[]; until(count: number): Promise<void>; client: MqttClient }> {
  const heard: PracticeMessage[] = []
  const client = await connectAsync(url, {
    username: 'keeper',
    password,
    clientId: `listener-${++listeners}`,
    clean: false,
    reconnectPeriod: 50,
  })
  client.on('message', (topic, payload, { retain }) =>
    heard.push({ at: start, topic, payload: String(payload), retain }),
  )
  await client.subscribeAsync('larkfield/#', { qos: 1 })
  const until = async (count: number): Promise<void> => {
    while (heard.length < count) await nextMessage(client)
  }
  return { heard, until, client }
}

const spoken = (messages: readonly PracticeMessage[]): string[] =>
  messages.map(({ topic, payload }) => `${topic} ${payload}`)

describeWith(['mosquitto'], 'the practice greenhouse at a real broker', () => {
  const open: (() => Promise<unknown>)[] = []
  let broker: Mosquitto
  let url = ''

  beforeEach(async () => {
    broker = await openBroker()
    url = `mqtt://127.0.0.1:${broker.port}`
    open.push(() => broker.close())
  })
  afterEach(async () => {
    for (const close of open.splice(0).reverse()) await close()
  })

  const publish = (clock: FakeClock, changes: { password?: string; log?: Log } = {}): PracticePublisher => {
    const credentials = {
      url,
      clientId: 'practice',
      username: 'keeper',
      password: changes.password ?? password,
    }
    const publisher = publishGreenhouse({
      greenhouse: greenhouse(),
      clock,
      log: changes.log ?? silentLog,
      broker: credentials,
    })
    open.push(() => publisher.stop())
    return publisher
  }
  const listen = async () => {
    const listener = await openListener(url)
    open.push(() => listener.client.endAsync())
    return listener
  }

  it('says, byte for byte and in order, what it says in memory', async () => {
    const expected = greenhouse().advanceTo(after(start, minutes(10)))
    const clock = new FakeClock(start)
    const listener = await listen()
    const publisher = publish(clock)
    for (let minute = 0; minute < 10; minute++) clock.advance(minutes(1))
    await listener.until(expected.length)
    expect(spoken(listener.heard)).toEqual(spoken(expected))
    await publisher.stop()
    expect(publisher.acknowledged()).toBe(expected.length)
    expect(publisher.waiting()).toBe(0)
  })

  it('leaves its last word on the mains for those who come later', async () => {
    const clock = new FakeClock(start)
    const first = await listen()
    const publisher = publish(clock)
    clock.advance(minutes(1))
    await first.until(greenhouse().advanceTo(after(start, minutes(1))).length)
    await publisher.stop()
    const later = await listen()
    await later.until(3)
    expect(new Set(later.heard.filter(({ retain }) => retain).map(({ topic }) => topic))).toEqual(
      new Set(['larkfield/mains/present', 'larkfield/battery/charge', 'larkfield/battery/runtime']),
    )
  })

  it('loses nothing when the broker goes away and comes back', async () => {
    const clock = new FakeClock(start)
    const listener = await listen()
    publish(clock)
    clock.advance(minutes(1))
    const first = greenhouse().advanceTo(after(start, minutes(1))).length
    await listener.until(first)
    await broker.stop()
    clock.advance(minutes(5))
    broker = await broker.again()
    const expected = greenhouse().advanceTo(after(start, minutes(6)))
    const missing = (): string[] => {
      const heard = new Set(spoken(listener.heard))
      return spoken(expected).filter((line) => !heard.has(line))
    }
    while (new Set(spoken(listener.heard)).size < new Set(spoken(expected)).size)
      await nextMessage(listener.client)
    expect(missing()).toEqual([])
  })

  it('after a long sleep leaves out what was said meanwhile, and says so', async () => {
    const told: object[] = []
    const log: Log = { ...silentLog, info: (facts) => told.push(facts) }
    const clock = new FakeClock(start)
    const listener = await listen()
    const publisher = publish(clock, { log })
    clock.step(hours(5))
    clock.advance(minutes(1))
    const all = greenhouse().advanceTo(after(start, milliseconds(hours(5) + minutes(1))))
    const fresh = all.filter(({ at }) => at > start + hours(4))
    await listener.until(fresh.length)
    expect(spoken(listener.heard)).toEqual(spoken(fresh))
    expect(told).toContainEqual({ skipped: all.length - fresh.length })
    await publisher.stop()
    expect(publisher.acknowledged()).toBe(fresh.length)
  })

  it('tells that it is refused, without its password', async () => {
    const refused = new Promise<string>((resolve) => {
      publish(new FakeClock(start), {
        password: 'wrong-secret',
        log: { ...silentLog, warn: (facts, sentence) => resolve(JSON.stringify(facts) + sentence) },
      })
    })
    expect(await refused).toContain('Not authorized')
    expect(await refused).not.toContain('wrong-secret')
  })

  it('falls silent when it is stopped', async () => {
    const clock = new FakeClock(start)
    const listener = await listen()
    const publisher = publish(clock)
    clock.advance(minutes(1))
    await listener.until(1)
    await publisher.stop()
    const said = publisher.acknowledged()
    expect(said).toBe(greenhouse().advanceTo(after(start, minutes(1))).length)
    expect(publisher.waiting()).toBe(0)
    clock.advance(minutes(5))
    expect(publisher.acknowledged() + publisher.waiting()).toBe(said)
    expect(clock.nextDue()).toBeNull()
  })

  it('says what it leaves behind when it is stopped while the broker is away', async () => {
    await broker.stop()
    const told: object[] = []
    const clock = new FakeClock(start)
    const publisher = publish(clock, { log: { ...silentLog, warn: (facts) => told.push(facts) } })
    clock.advance(minutes(1))
    await publisher.stop()
    expect(told).toContainEqual({ leftOut: greenhouse().advanceTo(after(start, minutes(1))).length })
    expect(publisher.acknowledged()).toBe(0)
  })

  it('holds at most 20 000 messages for a broker that is away, and says when it begins to leave some out', async () => {
    await broker.stop()
    const told: object[] = []
    const clock = new FakeClock(start)
    const publisher = publish(clock, { log: { ...silentLog, warn: (facts) => told.push(facts) } })
    for (let half = 0; half < 10; half++) clock.advance(minutes(30))
    expect(publisher.waiting()).toBe(20_000)
    expect(told.filter((facts) => 'waiting' in facts)).toEqual([{ waiting: 20_000 }])
  })
})
