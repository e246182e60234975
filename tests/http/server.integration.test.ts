import { get, type IncomingMessage } from 'node:http'
import { createServer as createSocketServer, type AddressInfo } from 'node:net'
import { afterEach, describe, expect, it } from 'vitest'
import { Fault } from '../../daemon/errors.js'
import { change, now, problem } from '../../daemon/http/contract.js'
import { openServer, type Server } from '../../daemon/http/server.js'
import { seconds } from '../../daemon/units/time.js'
import { calmNight, outage } from '../support/web-farm.js'
import { actHeaders, farmServer } from './farm-server.js'

let server: Server | null = null
afterEach(async () => {
  await server?.close()
  server = null
})

const open = (url: string): Promise<IncomingMessage> =>
  new Promise((resolve, reject) => get(url, resolve).on('error', reject))

/** Frames of an event stream, one at a time, as they come over the socket. */
async function* framesOf(
  stream: IncomingMessage,
): AsyncGenerator<{ event: string; data: unknown; text: string }> {
  let rest = ''
  for await (const chunk of stream) {
    rest += String(chunk)
    for (let end = rest.indexOf('\n\n'); end >= 0; end = rest.indexOf('\n\n')) {
      const text = rest.slice(0, end)
      rest = rest.slice(end + 2)
      const field = (name: string) => new RegExp(`^${name}: (.*)$`, 'm').exec(text)?.[1] ?? ''
      yield { event: field('event'), data: JSON.parse(field('data') || 'null'), text }
    }
  }
}

describe('the server on a real socket', () => {
  it('streams the state, then what an act changes, and closes while somebody listens', async () => {
    const farm = farmServer()
    server = await openServer(farm.parts)
    const stream = await open(`${server.url}/api/events`)
    expect(stream.headers['content-type']).toContain('text/event-stream')
    const frames = framesOf(stream)
    const first = await frames.next()
    expect(now.parse(first.value?.data).alarms).toHaveLength(outage.alarms.length)
    const reply = await fetch(`${server.url}/api/alarms/equipment-fault%40blower-a/acknowledge`, {
      method: 'POST',
      headers: { ...actHeaders, 'content-type': 'application/json' },
      body: JSON.stringify({ by: 'first-keeper' }),
    })
    expect(reply.status).toBe(200)
    farm.clock.advance(seconds(1))
    const second = await frames.next()
    expect(second.value?.event).toBe('change')
    const told = change.parse(second.value?.data)
    expect(told.alarms?.[0]).toMatchObject({ state: 'ACKED', acknowledgedBy: 'first-keeper' })
    expect(told.signals).toBeUndefined()
    await server.close()
    server = null
    // The beat of the same turn may still be on its way; then the stream ends by itself.
    let frame = await frames.next()
    while (frame.done !== true) frame = await frames.next()
    expect(frame.done).toBe(true)
  })

  it('forgets a listener that went away', async () => {
    const farm = farmServer({ snapshot: calmNight })
    server = await openServer(farm.parts)
    const stream = await open(`${server.url}/api/events`)
    await framesOf(stream).next()
    const other = await open(`${server.url}/api/events`)
    const frames = framesOf(other)
    await frames.next()
    stream.destroy()
    farm.door.show({ ...calmNight, quietSince: null })
    farm.clock.advance(seconds(1))
    expect((await frames.next()).value?.event).toBe('change')
    other.destroy()
  })

  it('says in words that the port is taken, and what to change', async () => {
    const taken = createSocketServer()
    await new Promise<void>((resolve) => taken.listen(0, '127.0.0.1', resolve))
    const { port } = taken.address() as AddressInfo
    const { parts, door } = farmServer({ options: { listen: { host: '127.0.0.1', port } } })
    const failure = await openServer(parts).catch((error: unknown) => error)
    expect(failure).toBeInstanceOf(Fault)
    expect(failure).toMatchObject({
      code: 'BW_LISTEN',
      message: expect.stringContaining(`port ${port}`) as string,
    })
    expect((failure as Fault).hint).toContain('web.listen')
    // What was opened on the way is closed again.
    expect(door.listeners()).toBe(0)
    await new Promise((resolve) => taken.close(resolve))
  })

  it('refuses a stream without a login as a problem, not as a stream', async () => {
    const farm = farmServer({ options: { lookWithoutLogin: false } })
    server = await openServer(farm.parts)
    const answer = await fetch(`${server.url}/api/events`)
    expect(answer.status).toBe(401)
    expect(problem.parse(await answer.json()).detail).toBe('Log in first.')
  })
})
