import type { ServerResponse } from 'node:http'
import { afterEach, describe, expect, it } from 'vitest'
import { gatewayChannel } from '../../daemon/channels/gateway.js'
import type { AcceptanceRule, GatewayOptions } from '../../daemon/channels/options.js'
import type { Sent } from '../../daemon/ports/channel.js'
import { milliseconds } from '../../daemon/units/time.js'
import { channelContract, exampleLetter } from '../contracts/channel-contract.js'
import { httpDouble, type HttpDouble } from './http-double.js'

const anyBody: AcceptanceRule = { status: [200, 299], body: { kind: 'any' } }

const options = (url: string, change: Partial<GatewayOptions> = {}): GatewayOptions => ({
  name: 'text',
  within: milliseconds(5000),
  url,
  method: 'POST',
  headers: { 'Content-Type': 'application/json', Authorization: 'Bearer s3cret-token' },
  body: '{"to":"{{to}}","text":"{{text}}","ref":{{id}}}',
  accepted: anyBody,
  ...change,
})

const closing: (() => Promise<void>)[] = []
afterEach(async () => {
  for (const close of closing.splice(0).toReversed()) await close()
})

async function serve(answer?: (response: ServerResponse) => void): Promise<HttpDouble> {
  const server = await httpDouble(answer)
  closing.push(() => server.stop())
  return server
}

async function sendTo(
  url: string,
  change: Partial<GatewayOptions> = {},
  letter = exampleLetter(),
): Promise<Sent> {
  const channel = gatewayChannel(options(url, change))
  closing.push(() => channel.close())
  return channel.send(letter)
}

channelContract('gateway', async () => {
  const server = await httpDouble()
  return {
    channel: gatewayChannel(options(server.url)),
    address: '+44 7700 900101',
    breakIt: () => server.stop(),
    cleanUp: () => server.stop(),
  }
})

describe('a request', () => {
  const hard = exampleLetter({ text: 'tank "1" & <2>\\ = 3 % {{to}} $& \n', address: '+44 7700 900101' })

  it('carries the letter escaped for JSON', async () => {
    const server = await serve()
    await sendTo(server.url, {}, hard)
    const [asked] = server.asked
    expect(JSON.parse(asked?.body ?? '')).toEqual({ to: hard.address, text: hard.text, ref: 47 })
    expect(asked?.headers['authorization']).toBe('Bearer s3cret-token')
  })
  it('carries it escaped for a form, in single braces too', async () => {
    const server = await serve()
    const headers = { 'content-type': 'application/x-www-form-urlencoded; charset=utf-8' }
    await sendTo(server.url, { headers, body: 'to={to}&text={text}&id={{id}}' }, hard)
    const form = new URLSearchParams(server.asked[0]?.body)
    expect(Object.fromEntries(form)).toEqual({ to: hard.address, text: hard.text, id: '47' })
  })
  it('carries it escaped for XML, and as it is in plain text', async () => {
    const server = await serve()
    await sendTo(
      server.url,
      { headers: { 'Content-Type': 'application/soap+xml' }, body: '<t>{{text}}</t>' },
      hard,
    )
    await sendTo(server.url, { headers: { 'Content-Type': 'text/plain' }, body: '{{text}}' }, hard)
    const [xml, plain] = server.asked
    expect(xml?.body).toContain('tank &#34;1&#34; &#38; &#60;2&#62;')
    expect(plain?.body).toBe(hard.text)
  })
  it('puts it into the address for gateways that take GET', async () => {
    const server = await serve()
    await sendTo(
      `${server.url}/send?key=k3y-k3y&to={{to}}&text={{text}}`,
      { method: 'GET', headers: {} },
      hard,
    )
    const asked = new URL(server.asked[0]?.url ?? '', server.url)
    expect(server.asked[0]).toMatchObject({ method: 'GET', body: '' })
    expect(asked.searchParams.get('text')).toBe(hard.text)
    expect(asked.searchParams.get('to')).toBe(hard.address)
  })
})

describe('an answer', () => {
  const says = (status: number, body: string, headers: Record<string, string> = {}) =>
    serve((response) => response.writeHead(status, headers).end(body))

  it('of 200 with an error in its body is no success when the rule looks at the body', async () => {
    const json: AcceptanceRule = {
      status: [200, 299],
      body: { kind: 'json', pointer: '/messages/0/status', is: ['0', 'queued'] },
    }
    const refused = await says(200, '{"messages":[{"status":"9","error":"no credit"}]}')
    expect(await sendTo(refused.url, { accepted: json })).toMatchObject({
      kind: 'temporary',
      detail: expect.stringContaining('no credit') as string,
    })
    const taken = await says(200, '{"messages":[{"status":0}]}')
    expect((await sendTo(taken.url, { accepted: json })).kind).toBe('accepted')
    for (const body of ['', 'not json', '{"messages":[]}', '{"messages":{"0":null}}']) {
      const odd = await says(200, body)
      expect((await sendTo(odd.url, { accepted: json })).kind).toBe('temporary')
    }
  })
  it('is judged by a pattern where that is the rule', async () => {
    const matches: AcceptanceRule = { status: [200, 200], body: { kind: 'matches', pattern: '^OK \\d+' } }
    expect((await sendTo((await says(200, 'OK 12')).url, { accepted: matches })).kind).toBe('accepted')
    expect((await sendTo((await says(200, 'ERR 401')).url, { accepted: matches })).kind).toBe('temporary')
    expect(() =>
      gatewayChannel(
        options('http://x', { accepted: { status: [200, 200], body: { kind: 'matches', pattern: '(' } } }),
      ),
    ).toThrow(/channel text: Invalid regular expression/)
  })
  it.each([
    [429, 'temporary'],
    [500, 'temporary'],
    [503, 'temporary'],
    [408, 'temporary'],
    [400, 'permanent'],
    [401, 'permanent'],
    [404, 'permanent'],
    [302, 'permanent'],
  ])('of %i is %s', async (status, kind) => {
    const server = await says(status, 'because', { Location: 'http://127.0.0.1:9/elsewhere' })
    expect(await sendTo(server.url)).toMatchObject({
      kind,
      detail: expect.stringContaining(`HTTP ${status}`) as string,
    })
    expect(server.asked).toHaveLength(1)
  })
  it('that names a time to wait has it in the detail', async () => {
    const server = await says(429, '', { 'Retry-After': '120' })
    expect((await sendTo(server.url)).detail).toContain('retry after 120')
  })
  it('that repeats our secrets shows none of them', async () => {
    const server = await says(400, 'bad token s3cret-token, key k3y-k3y, user u%20ser')
    const sent = await sendTo(`${server.url}/?key=k3y-k3y`)
    expect(sent.detail).not.toMatch(/s3cret|k3y/)
    expect(sent.detail).toContain('***')
  })
  it('of many megabytes is not read to its end', async () => {
    const server = await serve((response) => {
      const flood = (): void => {
        if (!response.destroyed) response.write('x'.repeat(60_000), () => setImmediate(flood))
      }
      flood()
    })
    const sent = await sendTo(server.url)
    expect(sent.kind).toBe('accepted')
    expect(sent.detail.length).toBeLessThanOrEqual(200)
  })
})

describe('a gateway that', () => {
  const quick = { within: milliseconds(300) }
  it('takes the request and says nothing ends in time', async () => {
    const server = await serve(() => undefined)
    expect(await sendTo(server.url, quick)).toEqual({ kind: 'temporary', detail: 'no answer within 0.3 s' })
  })
  it('stops in the middle of its answer ends in time too', async () => {
    const server = await serve((response) => response.write('{"status":'))
    expect(await sendTo(server.url, quick)).toEqual({ kind: 'temporary', detail: 'no answer within 0.3 s' })
  })
  it('hangs up without an answer is worth another try', async () => {
    const server = await serve((response) => response.destroy())
    expect(await sendTo(server.url)).toMatchObject({
      kind: 'temporary',
      detail: expect.stringContaining('could not be reached') as string,
    })
  })
  it('has no address is a mistake of the configuration, told without the address', () => {
    expect(() => gatewayChannel(options('texts.example.org/?key=s3cret'))).toThrow(/not an absolute URL/)
    expect(() => gatewayChannel(options('texts.example.org/?key=s3cret'))).not.toThrow(/s3cret/)
  })
})
