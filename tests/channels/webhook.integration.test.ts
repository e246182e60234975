import { createHmac } from 'node:crypto'
import { expect, it } from 'vitest'
import { webhookChannel } from '../../daemon/channels/webhook.js'
import { milliseconds, parseRfc3339, epochMs } from '../../daemon/units/time.js'
import { channelContract, exampleLetter } from '../contracts/channel-contract.js'
import { httpDouble } from './http-double.js'

const key = 'a key of sixteen characters or more'
const clock = { now: () => parseRfc3339('2026-11-25T02:12:00Z') ?? epochMs(0) }
const open = (url: string) => webhookChannel({ name: 'hook', url, key, within: milliseconds(5000) }, clock)

channelContract('webhook', async () => {
  const server = await httpDouble()
  return {
    channel: open(server.url),
    address: 'first-keeper',
    breakIt: () => server.stop(),
    cleanUp: () => server.stop(),
  }
})

it('signs time and body together, so that the receiver knows an old message from a new one', async () => {
  const server = await httpDouble()
  const channel = open(server.url)
  await channel.send(exampleLetter())
  const [asked] = server.asked
  const time = String(asked?.headers['bellwater-time'])
  const body = asked?.body ?? ''
  expect(time).toBe('2026-11-25T02:12:00Z')
  expect(asked?.headers['bellwater-signature']).toBe(
    `sha256=${createHmac('sha256', key).update(`${time}\n${body}`).digest('hex')}`,
  )
  expect(JSON.parse(body)).toEqual(exampleLetter())
  await channel.close()
  await server.stop()
})

it('tells refusals apart, and keeps the key to itself', async () => {
  for (const [status, kind] of [
    [503, 'temporary'],
    [410, 'permanent'],
  ] as const) {
    const server = await httpDouble((response) => response.writeHead(status).end(`wrong key ${key}`))
    const channel = open(server.url)
    const sent = await channel.send(exampleLetter())
    expect(sent.kind).toBe(kind)
    expect(sent.detail).not.toContain(key)
    await channel.close()
    await server.stop()
  }
})

it('refuses a key that can be guessed', () => {
  expect(() =>
    webhookChannel({ name: 'hook', url: 'http://x', key: 'short', within: milliseconds(1) }, clock),
  ).toThrow(/at least 16 characters/)
})
