import { connectAsync, type MqttClient } from 'mqtt'
import { afterEach, expect, it } from 'vitest'
import type { Ears, OutsideOptions } from '../../daemon/mqtt/options.js'
import { connectOutside } from '../../daemon/mqtt/outside-broker.js'
import { openEmbeddedBroker } from '../../daemon/mqtt/embedded-broker.js'
import { describeWith, startMosquitto, type Mosquitto, type MosquittoOptions } from '../support/services.js'
import { decoderFor, embedded, ends, isUp, outside, type Ends } from './ears.js'
import { FakeIntake } from './fake-intake.js'
import { takingProcess } from './taking-process.js'
import { Told } from './told.js'

const closing: (() => Promise<unknown>)[] = []
const closedLater = <Opened>(opened: Opened, close: (opened: Opened) => Promise<unknown>): Opened => {
  closing.unshift(() => close(opened))
  return opened
}
afterEach(async () => {
  for (const close of closing.splice(0)) await close()
})

/** A queue as long as the tests need; the default of mosquitto ends at 1000 messages. */
const longQueue = ['max_queued_messages 0']

async function broker(options: MosquittoOptions = {}): Promise<Mosquitto> {
  return closedLater(await startMosquitto({ lines: longQueue, ...options }), (one) => one.close())
}

async function listen(port: number, given: Ends, over: Partial<OutsideOptions> = {}): Promise<Ears> {
  const ears = closedLater(await connectOutside(outside(port, given, over)), (one) => one.close())
  await given.troubles.until(isUp)
  return ears
}

async function probe(port: number): Promise<MqttClient> {
  const client = await connectAsync(`mqtt://127.0.0.1:${port}`, { protocolVersion: 5 })
  return closedLater(client, (one) => one.endAsync(true))
}

const send = (client: MqttClient, value: string, topic = 'farm/ph', retain = false) =>
  client.publishAsync(topic, value, { qos: 1, retain })

describeWith(['mosquitto'], 'on a broker that is there already', () => {
  it('messages taken and not acknowledged come again after kill -9, acknowledged ones do not', async () => {
    const { port } = await broker()
    const sender = await probe(port)
    const victim = await takingProcess('outside', port)
    await victim.said.until((all) => all.includes('ready'))
    for (const value of ['7.1', '7.2', '7.3']) await send(sender, value)
    await victim.said.until(() => victim.took().length >= 3)
    await victim.kill()
    await send(sender, '7.4')

    const first = ends()
    const ears = await connectOutside(outside(port, first, { protocol: '3.1.1' }))
    await first.intake.count(4)
    expect(first.intake.values()).toEqual([7.1, 7.2, 7.3, 7.4])
    first.intake.commit(2)
    await ears.close()

    const second = ends()
    await listen(port, second, { protocol: '3.1.1' })
    await second.intake.count(2)
    expect(second.intake.values()).toEqual([7.3, 7.4])
  })

  it.each(['5', '3.1.1'] as const)(
    'takes a thousand messages in order through a window of 20 in flight, MQTT %s',
    async (protocol) => {
      const { port } = await broker({ lines: [...longQueue, 'max_inflight_messages 20'] })
      const given = ends()
      given.intake.commitsByItself = true
      const ears = await listen(port, given, { protocol })
      const sender = await probe(port)
      for (let n = 1; n <= 1000; n += 1) void send(sender, String(n))
      await given.intake.count(1000)
      expect(given.intake.values()).toEqual(Array.from({ length: 1000 }, (_, at) => at + 1))
      expect(ears.counts()).toMatchObject({ received: 1000, taken: 1000, rejected: 0, connected: 1 })
    },
  )

  it('without room it stops reading, and goes on when there is room again', async () => {
    const { port } = await broker()
    const given = ends(new FakeIntake(50))
    await listen(port, given)
    const sender = await probe(port)
    const sent: Promise<unknown>[] = []
    for (let n = 1; n <= 5000; n += 1) sent.push(send(sender, String(n)))
    await Promise.all(sent)
    await given.intake.count(50)
    given.intake.commitsByItself = true
    given.intake.commit()
    await given.intake.until((all) => all.at(-1)?.arrivals[0]?.value === 5000)
    expect(given.intake.most).toBeLessThanOrEqual(51)
    expect(given.intake.values()).toEqual(Array.from({ length: 5000 }, (_, at) => at + 1))
  })

  it('a flood without acknowledgements (QoS 0) stays in the socket, not in our memory', async () => {
    const { port } = await broker()
    const given = ends(new FakeIntake(10))
    await listen(port, given)
    const sender = await probe(port)
    await send(sender, '1')
    await given.intake.count(1)
    const start = process.memoryUsage()
    const payload = '7.'.padEnd(400, '0')
    for (let round = 0; round < 40; round += 1) {
      const sent = Array.from({ length: 500 }, () => sender.publishAsync('farm/ph', payload, { qos: 0 }))
      await Promise.all(sent)
    }
    // Answered once the broker has read all of the flood.
    await send(sender, '2', 'elsewhere')
    const now = process.memoryUsage()
    expect(given.intake.all.length).toBeLessThanOrEqual(11)
    expect(now.arrayBuffers - start.arrayBuffers).toBeLessThan(8e6)
  })

  it('what is mapped to nothing is acknowledged, counted and changes nothing', async () => {
    const { port } = await broker()
    const given = ends()
    const ears = await listen(port, given)
    const sender = await probe(port)
    await send(sender, 'a'.repeat(70_000))
    await send(sender, '7.5')
    await given.intake.count(1)
    expect(ears.counts()).toMatchObject({ received: 2, taken: 1, rejected: 1, waiting: 1 })
    expect(ears.passedBy()).toMatchObject([
      { topic: 'farm/ph', reason: 'the payload has 70000 bytes; more than 65536 are not read' },
    ])
  })

  it('retained messages are flagged, fresh ones are not', async () => {
    const { port } = await broker()
    const sender = await probe(port)
    await send(sender, '7.0', 'farm/ph', true)
    const given = ends()
    await listen(port, given)
    await given.intake.count(1)
    await send(sender, '7.1', 'farm/ph', true)
    await given.intake.count(2)
    expect(given.intake.all.map(({ arrivals }) => arrivals[0]?.retained)).toEqual([true, false])
  })

  it('a broker that comes back empty is listened to again, and told our state again', async () => {
    const first = await broker()
    const given = ends()
    const ears = await listen(first.port, given)
    await ears.publisher.publish('bellwater/larkfield/state', '{"watching":true}', { retain: true })
    await first.kill()
    await given.troubles.until((all) => all.at(-1)?.broken === true)
    await expect(ears.publisher.publish('siren/set', '1', { retain: false })).rejects.toThrow(
      `the broker at 127.0.0.1:${first.port} did not take a message: we are not connected`,
    )
    closedLater(await first.again(), (one) => one.stop())
    await given.troubles.until(isUp)
    const sender = await probe(first.port)
    const state = new Told<string>()
    sender.on('message', (topic, payload) => state.tell(`${topic} ${payload.toString()}`))
    await sender.subscribeAsync(['bellwater/#', 'siren/set'], { qos: 1 })
    await send(sender, '7.7')
    await given.intake.count(1)
    await state.count(1)
    expect(state.all).toEqual(['bellwater/larkfield/state {"watching":true}'])
  })

  it('when it dies, the broker says that nobody watches', async () => {
    const { port } = await broker()
    const sender = await probe(port)
    const state = new Told<string>()
    sender.on('message', (_topic, payload) => state.tell(payload.toString()))
    await sender.subscribeAsync('bellwater/larkfield/state', { qos: 1 })
    const victim = await takingProcess('outside', port)
    await send(sender, '7.1')
    await victim.said.until(() => victim.took().length > 0)
    await victim.kill()
    await state.count(1)
    expect(state.all).toEqual(['offline'])
  })

  it('when it leaves, it says so itself, and what it had not acknowledged comes again', async () => {
    const { port } = await broker()
    const given = ends()
    const ears = await connectOutside(outside(port, given))
    await given.troubles.until(isUp)
    const sender = await probe(port)
    const state = new Told<string>()
    sender.on('message', (_topic, payload) => state.tell(payload.toString()))
    await sender.subscribeAsync('bellwater/larkfield/state', { qos: 1 })
    await send(sender, '7.1')
    await given.intake.count(1)
    await ears.close()
    await state.count(1)
    expect(state.all).toEqual(['offline'])
    expect(given.troubles.all.some(({ broken }) => broken)).toBe(false)
    given.intake.commit()
    const next = ends()
    await listen(port, next)
    await next.intake.count(1)
    expect(next.intake.values()).toEqual([7.1])
  })

  it('a new configuration is listened to at once, the old one no longer', async () => {
    const { port } = await broker()
    const given = ends()
    let decoder = decoderFor('farm/ph')
    const ears = await listen(port, given, { decoder: () => decoder })
    const sender = await probe(port)
    decoder = decoderFor('farm/other')
    ears.refresh()
    await send(sender, '1', 'farm/other', true)
    await given.intake.count(1)
    await send(sender, '2')
    await send(sender, '3', 'farm/other')
    await given.intake.count(2)
    expect(given.intake.values()).toEqual([1, 3])
    expect(ears.counts().received).toBe(2)
  })

  it('a press of the wired button is told, a retained one is not', async () => {
    const { port } = await broker()
    const sender = await probe(port)
    await send(sender, 'old', 'bellwater/larkfield/ack', true)
    const given = ends()
    await listen(port, given)
    await send(sender, 'oxygen-low@tank-1', 'bellwater/larkfield/ack')
    await given.pressed.count(1)
    expect(given.pressed.all).toEqual(['oxygen-low@tank-1'])
  })
})

it('a broker that speaks only MQTT 3.1.1 is spoken to in that (the embedded one is such a broker)', async () => {
  const own = ends()
  const server = closedLater(await openEmbeddedBroker(embedded(own)), (one) => one.close())
  own.intake.commitsByItself = true
  const given = ends()
  await listen(server.port, given, { protocol: '5' })
  const client = await connectAsync(`mqtt://127.0.0.1:${server.port}`, { protocolVersion: 4 })
  closedLater(client, (one) => one.endAsync(true))
  await send(client, '7.2')
  await given.intake.count(1)
  expect(given.intake.values()).toEqual([7.2])
  expect(given.troubles.all[0]?.why).toMatch(/^the broker does not speak this version of MQTT/)
})
