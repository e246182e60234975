import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { emailChannel } from '../../daemon/channels/email.js'
import type { EmailOptions } from '../../daemon/channels/options.js'
import type { Sent } from '../../daemon/ports/channel.js'
import { milliseconds } from '../../daemon/units/time.js'
import { channelContract, exampleLetter } from '../contracts/channel-contract.js'
import { certificateAuthority } from '../support/certificates.js'
import { startOpenSmtpd } from '../support/opensmtpd.js'
import { describeWith, temporaryFolder } from '../support/services.js'
import { emailOptions, mailDouble, reply, scriptedServer } from './mail-double.js'

const address = 'first@example.org'
const quick = { within: milliseconds(400) }

const closing: (() => Promise<void>)[] = []
afterEach(async () => {
  for (const close of closing.splice(0).toReversed()) await close()
})
const until = <Part extends { stop(): Promise<void> }>(part: Part): Part => {
  closing.push(() => part.stop())
  return part
}

async function sendTo(
  port: number,
  change: Partial<EmailOptions> = {},
  letter = exampleLetter({ address }),
): Promise<Sent> {
  const channel = emailChannel(emailOptions(port, change))
  closing.push(() => channel.close())
  return channel.send(letter)
}

channelContract('email', async () => {
  const server = await mailDouble()
  return {
    channel: emailChannel(emailOptions(server.port)),
    address,
    breakIt: () => server.stop(),
    cleanUp: () => server.stop(),
  }
})

describe('a mail', () => {
  it('is plain, urgent, says that a machine wrote it, and can be told from its repeat', async () => {
    const server = until(await mailDouble())
    const letter = exampleLetter({ address, link: 'https://water.example.org/answer/t' })
    expect(await sendTo(server.port, {}, letter)).toEqual({ kind: 'accepted', detail: '250 queued as 1' })
    await sendTo(server.port, {}, letter)
    const [first = '', repeat = ''] = server.mails
    expect(first).toContain('Message-ID: <bellwater-call-47@example.org>')
    expect(repeat).toContain('Message-ID: <bellwater-call-47@example.org>')
    expect(first).toMatch(/^To: First keeper <first@example\.org>/m)
    expect(first).toMatch(/^Content-Type: text\/plain; charset=utf-8/m)
    expect(first).toMatch(/^X-Priority: 1/m)
    expect(first).toMatch(/^Auto-Submitted: auto-generated/m)
    expect(first).toMatch(/^Subject: CRITICAL Larkfield tank 1/m)
    expect(first).toContain('Answer here: https://water.example.org/answer/t')
  })
  it('is not urgent when it is a test', async () => {
    const server = until(await mailDouble())
    await sendTo(server.port, {}, exampleLetter({ address, test: true }))
    expect(server.mails[0]).not.toMatch(/^X-Priority: 1/m)
  })
  it('cannot be given another recipient by a name with a line break', async () => {
    const server = until(await mailDouble())
    await sendTo(
      server.port,
      {},
      exampleLetter({
        address,
        person: 'First\r\nBcc: other@example.org',
        subject: 'a\r\nBcc: b@example.org',
      }),
    )
    expect(server.mails[0]).not.toMatch(/^Bcc:/im)
  })
})

describe('when the mail server', () => {
  it('refuses the recipient for good, it is permanent and says why', async () => {
    const server = until(
      await mailDouble({ onRcptTo: (_to, _session, done) => done(reply(550, 'no such mailbox')) }),
    )
    expect(await sendTo(server.port)).toMatchObject({
      kind: 'permanent',
      detail: expect.stringContaining('no such mailbox') as string,
    })
  })
  it('greylists, it is temporary', async () => {
    const server = until(
      await mailDouble({ onRcptTo: (_to, _session, done) => done(reply(451, 'greylisted, try again')) }),
    )
    expect(await sendTo(server.port)).toMatchObject({
      kind: 'temporary',
      detail: expect.stringContaining('greylisted') as string,
    })
  })
  it('refuses the message itself, the reply code decides', async () => {
    const refusing = (code: number) =>
      mailDouble({
        onData: (stream, _session, done) => stream.resume().on('end', () => done(reply(code, 'not now'))),
      })
    expect((await sendTo(until(await refusing(452)).port)).kind).toBe('temporary')
    expect((await sendTo(until(await refusing(554)).port)).kind).toBe('permanent')
  })
  it('refuses the login, it is permanent, and the password stays out of sight', async () => {
    const server = until(
      await mailDouble({
        onAuth: (auth, _session, done) =>
          done(reply(535, `${auth.username ?? ''} has no password ${auth.password ?? ''}`)),
      }),
    )
    const sent = await sendTo(server.port, { login: { username: 'keeper', password: 'hunter-two' } })
    expect(sent).toMatchObject({
      kind: 'permanent',
      detail: expect.stringContaining('refuses the login') as string,
    })
    expect(sent.detail).not.toContain('hunter-two')
    expect(sent.detail).toContain('***')
  })
  it('asks for a login later, it is temporary', async () => {
    const server = until(
      await mailDouble({ onAuth: (_auth, _session, done) => done(reply(454, 'try later')) }),
    )
    expect(
      await sendTo(server.port, { login: { username: 'keeper', password: 'hunter-two' } }),
    ).toMatchObject({ kind: 'temporary' })
  })
  it('takes the connection and says nothing, it ends in time', async () => {
    const server = until(await scriptedServer(() => undefined))
    expect((await sendTo(server.port, quick)).kind).toBe('temporary')
  })
  it('drips its answer letter by letter so that no wait for the next one is long, it ends in time all the same', async () => {
    const server = until(
      await scriptedServer((_line, socket) => {
        const drip = (): void => {
          if (!socket.destroyed) socket.write('220-x\r\n', () => setImmediate(drip))
        }
        drip()
      }),
    )
    const sent = await sendTo(server.port, quick)
    expect(sent).toEqual({ kind: 'temporary', detail: 'no answer within 0.4 s' })
  })
  it('hangs up in the middle of the message, it is temporary', async () => {
    const replies: Record<string, string> = {
      '': '220 hello',
      EHLO: '250 hello',
      MAIL: '250 ok',
      RCPT: '250 ok',
      DATA: '354 go on',
    }
    const server = until(
      await scriptedServer((line, socket) => {
        const known = replies[line.slice(0, 4)]
        if (known === undefined) socket.destroy()
        else socket.write(`${known}\r\n`)
      }),
    )
    expect((await sendTo(server.port)).kind).toBe('temporary')
  })
  it('says 421 and closes, it is temporary', async () => {
    const server = until(await scriptedServer((_line, socket) => socket.end('421 shutting down\r\n')))
    expect((await sendTo(server.port)).kind).toBe('temporary')
  })
  it('is not there at all, it is temporary and says where', async () => {
    const server = await mailDouble()
    await server.stop()
    expect(await sendTo(server.port)).toMatchObject({
      kind: 'temporary',
      detail: expect.stringContaining('ECONNREFUSED') as string,
    })
  })
  it('goes and comes back, the next letter gets through over the same channel', async () => {
    const server = await mailDouble()
    const channel = emailChannel(emailOptions(server.port))
    closing.push(() => channel.close())
    expect((await channel.send(exampleLetter({ address }))).kind).toBe('accepted')
    await server.stop()
    expect((await channel.send(exampleLetter({ address }))).kind).toBe('temporary')
    const again = until(await mailDouble({}, server.port))
    expect((await channel.send(exampleLetter({ address }))).kind).toBe('accepted')
    expect(again.mails).toHaveLength(1)
  })
  it('holds a letter while we close, the letter is answered at once', async () => {
    const server = until(await scriptedServer(() => undefined))
    const channel = emailChannel(emailOptions(server.port))
    const sent = channel.send(exampleLetter({ address }))
    await channel.close()
    expect(await sent).toEqual({ kind: 'temporary', detail: 'broken off: the channel is closing' })
  })
})

it('is permanent for an address that is none', async () => {
  const server = until(await mailDouble())
  expect((await sendTo(server.port, {}, exampleLetter({ address: 'nobody' }))).kind).toBe('permanent')
})

describeWith(['openssl'], 'encryption', () => {
  let folder = temporaryFolder()
  let authority = ''
  let certificate = { cert: '', key: '' }
  beforeEach(() => {
    folder = temporaryFolder()
    const made = certificateAuthority(folder.path)
    authority = made.ca.cert
    certificate = made.sign('localhost')
    closing.push(() => Promise.resolve(folder.remove()))
  })
  const encrypted = async (secure: boolean) =>
    until(
      await mailDouble({ secure, cert: certificate.cert, key: certificate.key, disabledCommands: ['AUTH'] }),
    )

  it('refuses a certificate that nobody vouches for, for good', async () => {
    for (const [secure, encryption] of [
      [true, 'tls'],
      [false, 'starttls'],
    ] as const) {
      const server = await encrypted(secure)
      expect(await sendTo(server.port, { encryption })).toMatchObject({
        kind: 'permanent',
        detail: expect.stringContaining('certificate is not trusted') as string,
      })
      expect(server.mails).toEqual([])
    }
  })
  it('takes one that the keeper’s own authority has signed', async () => {
    for (const [secure, encryption] of [
      [true, 'tls'],
      [false, 'starttls'],
    ] as const) {
      const server = await encrypted(secure)
      expect(await sendTo(server.port, { encryption, authorities: authority })).toMatchObject({
        kind: 'accepted',
      })
    }
  })
  it('takes any where encryption is a bonus, and none where there is none', async () => {
    const server = await encrypted(false)
    expect(await sendTo(server.port, { encryption: 'if_offered' })).toMatchObject({ kind: 'accepted' })
    expect(server.mails[0]).toContain('Message-ID')
  })
  it('insists where the keeper does, and wherever a password would travel', async () => {
    const server = until(await mailDouble())
    expect((await sendTo(server.port, { encryption: 'starttls' })).kind).toBe('permanent')
    const login = { username: 'keeper', password: 'hunter-two' }
    // An address that reaches the double and is not one of loopback’s names.
    const elsewhere = await sendTo(server.port, { encryption: 'if_offered', login, host: '::ffff:127.0.0.1' })
    expect(elsewhere).toMatchObject({
      kind: 'permanent',
      detail: expect.stringContaining('STARTTLS') as string,
    })
    expect(server.mails).toEqual([])
  })
})

describeWith(['smtpd'], 'OpenSMTPD', () => {
  it('files what we send, and refuses what is not for it', async () => {
    const server = until(await startOpenSmtpd())
    const channel = emailChannel(emailOptions(server.port))
    closing.push(() => channel.close())
    const letters = [1, 2, 3].map((id) => exampleLetter({ id, address, body: 'Señal: ¡oxígeno!\n' }))
    const sent = await Promise.all(letters.map((letter) => channel.send(letter)))
    expect(sent.map(({ kind }) => kind)).toEqual(['accepted', 'accepted', 'accepted'])
    expect(await channel.send(exampleLetter({ address: 'first@example.net' }))).toMatchObject({
      kind: 'permanent',
      detail: expect.stringContaining('550') as string,
    })
    await expect.poll(() => server.mails().length, { timeout: 10_000 }).toBe(3)
    const ids = server.mails().map((mail) => /^Message-ID: <(.*)>/m.exec(mail)?.[1])
    expect(ids.toSorted()).toEqual([1, 2, 3].map((id) => `bellwater-call-${id}@example.org`))
  })
})
