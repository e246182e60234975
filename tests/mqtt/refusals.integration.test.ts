import { execFileSync } from 'node:child_process'
import { existsSync } from 'node:fs'
import { createServer, type AddressInfo } from 'node:net'
import { join } from 'node:path'
import { afterEach, describe, expect, it } from 'vitest'
import { connectOutside } from '../../daemon/mqtt/outside-broker.js'
import type { OutsideOptions } from '../../daemon/mqtt/options.js'
import { Secret } from '../../daemon/secret.js'
import { certificateAuthority, type Certificate } from '../support/certificates.js'
import { freePort } from '../support/free-port.js'
import { describeWith, program, startMosquitto, type MosquittoOptions } from '../support/services.js'
import { clock, decoderFor, ends, isUp, outside } from './ears.js'
import { FakeClock } from '../support/fake-clock.js'
import { minutes } from '../../daemon/units/time.js'

const closing: (() => Promise<unknown>)[] = []
afterEach(async () => {
  for (const close of closing.splice(0)) await close()
})

async function broker(options: MosquittoOptions) {
  const started = await startMosquitto(options)
  closing.push(() => started.close())
  return started
}

/** What is told first after connecting. */
async function firstTold(port: number, over: Partial<OutsideOptions>) {
  const given = ends()
  const ears = await connectOutside(outside(port, given, over))
  closing.unshift(() => ears.close())
  await given.troubles.count(1)
  return given.troubles.all[0]
}

const password = new Secret('s3cret')

describeWith(['mosquitto', 'mosquitto_passwd'], 'a broker that asks for a password', () => {
  const lines = ['password_file %folder%/passwords']
  const prepare = (folder: string) => {
    execFileSync(program('mosquitto_passwd'), [
      '-b', '-c', join(folder, 'passwords'), 'keeper', password.reveal(),
    ]) // prettier-ignore
  }

  it('lets in who knows it, and tells who does not, without showing it', async () => {
    const { port } = await broker({ lines, prepare })
    expect(await firstTold(port, { username: 'keeper', password })).toMatchObject({ broken: false })
    for (const protocol of ['5', '3.1.1'] as const) {
      const wrong = {
        username: 'keeper',
        password: new Secret('guessed'),
        protocol,
        clientId: `other-${protocol}`,
      }
      const told = await firstTold(port, wrong)
      expect(told?.broken).toBe(true)
      expect(told?.why).toBe(
        `the broker does not let us in: check user name and password (127.0.0.1:${port})`,
      )
    }
  })
})

describeWith(['mosquitto', 'openssl'], 'a broker with TLS', () => {
  const made: { ca?: Certificate; server?: Certificate; client?: Certificate } = {}
  const prepare = (folder: string) => {
    const authority = certificateAuthority(folder)
    Object.assign(made, {
      ca: authority.ca,
      server: authority.sign('server'),
      client: authority.sign('client'),
    })
  }
  const secret = (text: string | undefined) => (text === undefined ? null : new Secret(text))
  const certificates = [
    'certfile %folder%/server.pem',
    'keyfile %folder%/server.key',
    'cafile %folder%/ca.pem',
  ]
  const over = (port: number, tls: Partial<OutsideOptions['tls']>): Partial<OutsideOptions> => ({
    url: `mqtts://127.0.0.1:${port}`,
    tls: { ca: null, cert: null, key: null, ...tls },
  })

  it('is spoken to when its certificate is trusted, and explained when not', async () => {
    const { port } = await broker({ prepare, listenerLines: certificates })
    expect(await firstTold(port, over(port, { ca: secret(made.ca?.cert) }))).toMatchObject({ broken: false })
    expect((await firstTold(port, over(port, {})))?.why).toBe(
      `the certificate of the broker is not trusted: give the certificate that signed it as ca_file (127.0.0.1:${port})`,
    )
    expect((await firstTold(port, { url: `mqtt://127.0.0.1:${port}` }))?.why).toMatch(
      /the connection to the broker|the broker hung up/,
    )
  })

  it('may ask for our certificate', async () => {
    const { port } = await broker({ prepare, listenerLines: [...certificates, 'require_certificate true'] })
    const ca = secret(made.ca?.cert)
    const own = { ca, cert: secret(made.client?.cert), key: secret(made.client?.key) }
    expect(await firstTold(port, over(port, own))).toMatchObject({ broken: false })
    expect((await firstTold(port, over(port, { ca })))?.why).toBe(
      `the broker does not accept our certificate: check cert_file and key_file (127.0.0.1:${port})`,
    )
  })

  it('is not to be had on a port without TLS', async () => {
    const { port } = await broker({})
    expect((await firstTold(port, over(port, {})))?.broken).toBe(true)
  })
})

const plugin = '/usr/lib/x86_64-linux-gnu/mosquitto_dynamic_security.so'
const plugins = [plugin, plugin.replace('x86_64', 'aarch64'), '/usr/lib/mosquitto_dynamic_security.so']

describeWith(['mosquitto', 'mosquitto_ctrl'], 'a broker that refuses a subscription', () => {
  it('is told with the filters, asked again after a minute, and all is well when it grants them', async () => {
    const file = plugins.find((one) => existsSync(one)) ?? plugin
    const lines = [`plugin ${file}`, 'plugin_opt_config_file %folder%/security.json', 'allow_anonymous false']
    const ctrl = (...args: string[]) => execFileSync(program('mosquitto_ctrl'), args, { stdio: 'pipe' })
    const { port } = await broker({
      lines,
      prepare: (folder) => ctrl('dynsec', 'init', join(folder, 'security.json'), 'admin', 'admin-pw'),
    })
    const security = (...args: string[]) =>
      ctrl('-h', '127.0.0.1', '-p', String(port), '-u', 'admin', '-P', 'admin-pw', 'dynsec', ...args)
    security('createClient', 'keeper', '-p', password.reveal())
    security('createRole', 'listener')
    security('addRoleACL', 'listener', 'subscribePattern', 'farm/ph', 'allow', '1')
    security('addClientRole', 'keeper', 'listener', '1')

    const given = ends()
    const time = new FakeClock()
    const options = outside(port, given, { username: 'keeper', password, clock: time, button: null })
    const ears = await connectOutside({ ...options, decoder: () => decoderFor('farm/ph', 'secret/ph') })
    closing.unshift(() => ears.close())
    await given.troubles.count(1)
    const refused = `the broker at 127.0.0.1:${port} does not let us listen to secret/ph (code 135)`
    expect(given.troubles.all).toEqual([{ of: 'broker', broken: true, why: refused }])

    security('addRoleACL', 'listener', 'subscribePattern', 'secret/ph', 'allow', '1')
    time.advance(minutes(1))
    await given.troubles.until(isUp)
  })
})

describe('no broker', () => {
  it('at that address is told in words', async () => {
    const port = await freePort()
    expect((await firstTold(port, {}))?.why).toBe(
      `no broker answers: is it running, is the port right? (127.0.0.1:${port})`,
    )
    expect((await firstTold(port, { url: 'mqtt://nowhere.invalid' }))?.why).toMatch(
      /^(?:there is no machine of that name|the name of the broker cannot be looked up just now) \(nowhere.invalid:1883\)$/,
    )
  })

  it('but something that sends nonsense without end is hung up on', async () => {
    const server = createServer((socket) => {
      socket.on('error', () => undefined)
      socket.resume()
      socket.write(Uint8Array.from([0x30, 0xff, 0xff, 0xff, 0x7f, 0, 0, 0]))
    })
    await new Promise<void>((resolve) => server.listen({ host: '127.0.0.1', port: 0 }, resolve))
    closing.push(() => new Promise((resolve) => server.close(resolve)))
    const { port } = server.address() as AddressInfo
    expect((await firstTold(port, {}))?.why).toBe(
      `the broker at 127.0.0.1:${port} sent a packet of more than 1048576 bytes`,
    )
  })

  it.each([
    ['broker.lan', 'broker.url is no address'],
    ['http://broker.lan', 'broker.url begins with http://'],
    ['mqtt://me:pw@broker.lan', 'broker.url holds a user name or password'],
  ])('%s is refused', async (url, message) => {
    await expect(connectOutside(outside(1, ends(), { url, clock }))).rejects.toMatchObject({
      code: 'BW_CONFIG',
      message,
    })
  })
})
