import { spawn } from 'node:child_process'
import { connect as connectSocket } from 'node:net'
import { connect, connectAsync, type IClientOptions, type MqttClient } from 'mqtt'
import { afterEach, describe, expect, it } from 'vitest'
import { connectionsMax } from '../../daemon/mqtt/embedded-door.js'
import { openEmbeddedBroker, type OwnEars } from '../../daemon/mqtt/embedded-broker.js'
import type { EmbeddedOptions } from '../../daemon/mqtt/options.js'
import { Secret } from '../../daemon/secret.js'
import { freePort } from '../support/free-port.js'
import { describeWith, program } from '../support/services.js'
import { embedded, ends, type Ends } from './ears.js'
import { FakeIntake } from './fake-intake.js'
import { takingProcess } from './taking-process.js'
import { Told } from './told.js'

const closing: (() => Promise<unknown>)[] = []
afterEach(async () => {
  for (const close of closing.splice(0)) await close()
})

async function open(given: Ends, over: Partial<EmbeddedOptions> = {}): Promise<OwnEars> {
  const ears = await openEmbeddedBroker(embedded(given, over))
  closing.push(() => ears.close())
  return ears
}

async function probe(port: number, options: IClientOptions = {}): Promise<MqttClient> {
  const client = await connectAsync(`mqtt://127.0.0.1:${port}`, { reconnectPeriod: 0, ...options })
  closing.unshift(() => client.endAsync(true))
  return client
}

const send = (client: MqttClient, value: string, topic = 'farm/ph', qos: 0 | 1 | 2 = 1) =>
  client.publishAsync(topic, value, { qos })

const heardBy = async (client: MqttClient, filter: string): Promise<Told<string>> => {
  const told = new Told<string>()
  client.on('message', (topic, payload) => told.tell(`${topic} ${payload.toString()}`))
  await client.subscribeAsync(filter, { qos: 1 })
  return told
}

describe('our own broker acknowledges after the commit', () => {
  it.each([1, 2] as const)('QoS %d', async (qos) => {
    const given = ends()
    const { port } = await open(given)
    const order: string[] = []
    const client = await probe(port)
    const sent = send(client, '7.1', 'farm/ph', qos).then(() => order.push('acknowledged'))
    await given.intake.count(1)
    // A whole round trip of somebody else: an acknowledgement sent before the commit would have come by now.
    await (await probe(port)).subscribeAsync('x')
    await client.publishAsync('elsewhere', '', { qos: 0 })
    order.push('committed')
    given.intake.commit()
    await sent
    expect(order).toEqual(['committed', 'acknowledged'])
  })

  it('in order, also when a message in between means nothing', async () => {
    const given = ends()
    const ears = await open(given)
    const client = await probe(ears.port)
    const order: string[] = []
    const sent = [
      send(client, '7.1').then(() => order.push('first')),
      send(client, 'x', 'means/nothing').then(() => order.push('second')),
      send(client, '7.2').then(() => order.push('third')),
    ]
    await given.intake.count(2)
    expect(ears.counts()).toMatchObject({ taken: 2, unmapped: 1, waiting: 3 })
    given.intake.commit(1)
    await sent[1]
    given.intake.commit()
    await Promise.all(sent)
    expect(order).toEqual(['first', 'second', 'third'])
  })

  it('killed before the commit, it gets the message again from the probe', async () => {
    const port = await freePort()
    const victim = await takingProcess('embedded', port)
    const client = connect(`mqtt://127.0.0.1:${port}`, {
      clean: false,
      clientId: 'probe-1',
      reconnectPeriod: 50,
    })
    closing.unshift(() => client.endAsync(true))
    client.on('error', () => undefined)
    let acknowledged = false
    const sent = send(client, '7.3').then(() => (acknowledged = true))
    await victim.said.until(() => victim.took().length === 1)
    await victim.kill()
    expect(acknowledged).toBe(false)
    const given = ends()
    await open(given, { port })
    await given.intake.count(1)
    expect(given.intake.values()).toEqual([7.3])
    given.intake.commit()
    await sent
  })

  it('thousands at once are taken in order, with no more waiting than there is room for', async () => {
    const given = ends(new FakeIntake(50))
    given.intake.commitsByItself = true
    const { port } = await open(given)
    const client = await probe(port)
    await Promise.all(
      Array.from({ length: 3000 }, (_, at) => send(client, String(at), 'farm/ph', at % 3 === 0 ? 0 : 1)),
    )
    await given.intake.count(3000)
    expect(given.intake.values()).toEqual(Array.from({ length: 3000 }, (_, at) => at))
    expect(given.intake.most).toBeLessThanOrEqual(50)
  })
})

describeWith(['mosquitto_pub'], 'a real mosquitto_pub', () => {
  it('ends only when its reading is committed', async () => {
    const given = ends()
    const { port } = await open(given)
    const args = ['-h', '127.0.0.1', '-p', String(port), '-t', 'farm/ph', '-q', '1', '-m', '7.1']
    const child = spawn(program('mosquitto_pub'), args)
    const ended = new Promise<number | null>((resolve) => child.once('exit', resolve))
    await given.intake.count(1)
    expect(child.exitCode).toBe(null)
    given.intake.commit()
    expect(await ended).toBe(0)
  })
})

describe('our own broker lets in', () => {
  it('whoever knows the password, once there is one', async () => {
    const login = { username: 'probe', password: new Secret('s3cret') }
    const { port } = await open(ends(), { login })
    await probe(port, { username: 'probe', password: 's3cret' })
    await expect(probe(port, { username: 'probe', password: 'guessed' })).rejects.toThrow(
      'Bad username or password',
    )
    await expect(probe(port)).rejects.toThrow('Bad username or password')
  })

  it('nobody from elsewhere without a password', async () => {
    await expect(openEmbeddedBroker(embedded(ends(), { host: '0.0.0.0' }))).rejects.toMatchObject({
      code: 'BW_CONFIG',
      message: 'broker.embedded.listen 0.0.0.0:0: anyone on the network could send readings',
    })
  })

  it('nobody when the port is taken, and says what to change', async () => {
    const { port } = await open(ends())
    await expect(openEmbeddedBroker(embedded(ends(), { port }))).rejects.toMatchObject({
      code: 'BW_LISTEN',
      message: `broker.embedded.listen 127.0.0.1:${port}: the port is taken by another program`,
      hint: expect.stringContaining('choose another port') as string,
    })
  })

  it('a number of clients, and closes though some never said who they are', async () => {
    const { port } = await open(ends())
    const lost = new Told<string>()
    for (let n = 0; n <= connectionsMax; n += 1) {
      const socket = connectSocket({ host: '127.0.0.1', port })
      socket.on('error', () => undefined)
      socket.once('close', () => lost.tell('closed'))
      await new Promise((resolve) => socket.once('connect', resolve))
    }
    await lost.count(1)
  })

  it('a client that asks for a session, but tells it that there is none', async () => {
    const { port } = await open(ends())
    const first = await probe(port, { clean: false, clientId: 'tablet' })
    await first.subscribeAsync('a', { qos: 1 })
    await first.endAsync()
    const again = connect(`mqtt://127.0.0.1:${port}`, { clean: false, clientId: 'tablet' })
    closing.unshift(() => again.endAsync(true))
    const present = await new Promise((resolve) =>
      again.once('connect', ({ sessionPresent }) => resolve(sessionPresent)),
    )
    expect(present).toBe(false)
  })
})

describe('our own broker refuses', () => {
  it.each(['bellwater/larkfield/state', 'bellwater/other', '$SYS/x'])('a message to %s', async (topic) => {
    const given = ends()
    const { port } = await open(given)
    const client = await probe(port)
    const closed = new Promise<void>((resolve) => client.once('close', () => resolve()))
    client.publish(topic, 'offline', { qos: 1, retain: true })
    await closed
    const reader = await heardBy(await probe(port), '#')
    await send(await probe(port), '1', 'farm/other', 0)
    await reader.count(1)
    expect(reader.all).toEqual(['farm/other 1'])
  })

  it('a packet larger than 1 MiB, without gathering it', async () => {
    const given = ends()
    const { port } = await open(given)
    const client = await probe(port)
    const closed = new Promise<void>((resolve) => client.once('close', () => resolve()))
    client.publish('farm/ph', Buffer.alloc(2 * 1024 * 1024, 0x31), { qos: 1 })
    await closed
    await send(await probe(port), '7.0', 'farm/ph', 0)
    await given.intake.count(1)
    expect(given.intake.values()).toEqual([7])
  })
})

describe('our own broker', () => {
  it('takes a press of the wired button', async () => {
    const given = ends()
    const { port } = await open(given)
    await send(await probe(port), 'oxygen-low@tank-1', 'bellwater/larkfield/ack')
    expect(given.pressed.all).toEqual(['oxygen-low@tank-1'])
  })

  it('publishes for the daemon, keeps what is retained, and says offline when it closes', async () => {
    const given = ends()
    const ears = await openEmbeddedBroker(embedded(given))
    await ears.publisher.publish('bellwater/larkfield/state', '{"watching":true}', { retain: true })
    const reader = await heardBy(await probe(ears.port), 'bellwater/#')
    await reader.count(1)
    await ears.close()
    await reader.count(2)
    expect(reader.all).toEqual([
      'bellwater/larkfield/state {"watching":true}',
      'bellwater/larkfield/state offline',
    ])
    expect(given.intake.all).toEqual([])
  })

  it('takes the last will of a probe that dies as a message of the probe', async () => {
    const given = ends()
    const { port } = await open(given)
    const client = await probe(port, {
      will: { topic: 'farm/ph', payload: Buffer.from('nan'), qos: 1, retain: false },
    })
    client.stream.destroy()
    await given.intake.count(1)
    expect(given.intake.all[0]?.arrivals[0]).toMatchObject({
      value: null,
      why: 'the probe sent NaN (not a number)',
    })
  })

  it('a subscriber that has stopped reading does not hold up the readings of probes', async () => {
    const given = ends()
    given.intake.commitsByItself = true
    const { port } = await open(given)
    const sleeper = await probe(port)
    await sleeper.subscribeAsync('#', { qos: 0 })
    sleeper.stream.pause()
    const client = await probe(port)
    const payload = '7.'.padEnd(300, '0').padEnd(60_000, ' ')
    await Promise.all(Array.from({ length: 300 }, () => send(client, payload)))
    expect(given.intake.all).toHaveLength(300)
  })
})
