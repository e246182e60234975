import { execFile } from 'node:child_process'
import { existsSync, readFileSync, statSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { promisify } from 'node:util'
import { afterEach, expect, it } from 'vitest'
import { modemChannel, type IncomingText, type ModemOptions } from '../../daemon/channels/modem.js'
import { pinMemory } from '../../daemon/channels/modem/pin-memory.js'
import type { Receipt } from '../../daemon/channels/modem/receipts.js'
import { silentLog, type Log } from '../../daemon/ports/log.js'
import { milliseconds, minutes, seconds } from '../../daemon/units/time.js'
import { channelContract, exampleLetter } from '../contracts/channel-contract.js'
import { FakeClock } from '../support/fake-clock.js'
import { modemDouble, type ModemDouble } from '../support/modem-double.js'
import { describeWith, program, temporaryFolder } from '../support/services.js'

const run = promisify(execFile)
const okUnit = '07914477000900F0040C91447700091010000072100120410000' + '05CF25887603'

const cleaning: (() => Promise<void> | void)[] = []
afterEach(async () => {
  for (const clean of cleaning.splice(0).toReversed()) await clean()
})

/** Everything logged, and promises for what will be. */
function listeningLog() {
  const lines: string[] = []
  const waiting = new Set<() => void>()
  const note = (facts: object, sentence: string): void => {
    lines.push(`${sentence} ${JSON.stringify(facts)}`)
    for (const look of [...waiting]) look()
  }
  const log: Log = { ...silentLog, debug: note, info: note, warn: note, error: note, child: () => log }
  const says = (form: RegExp, from = 0): Promise<void> =>
    new Promise((resolve) => {
      const look = (): void => {
        if (!lines.slice(from).some((line) => form.test(line))) return
        waiting.delete(look)
        resolve()
      }
      waiting.add(look)
      look()
    })
  return { log, lines, says }
}

async function open(double: ModemDouble, change: Partial<ModemOptions> = {}) {
  const clock = new FakeClock()
  const { log, lines, says } = listeningLog()
  const texts: IncomingText[] = []
  const receipts: Receipt[] = []
  const troubles: (string | null)[] = []
  // The rest at the beginning of a talk passes as soon as the modem has heard it begin.
  const stop = double.listen((line) => void (line.includes('\x1b') && clock.advance(seconds(1))))
  const channel = modemChannel(
    {
      ...{ name: 'text', device: join(double.folder, 'ttyUSB*'), baud: 115_200, pin: null, receipts: true },
      ...{ within: milliseconds(30_000), ...change },
    },
    {
      clock,
      log,
      pinMemory: pinMemory(join(double.folder, 'data', 'pin')),
      events: {
        trouble: (why) => void troubles.push(why),
        text: (text) => {
          texts.push(text)
          return Promise.resolve()
        },
        receipt: (receipt) => void receipts.push(receipt),
      },
    },
  )
  cleaning.push(stop, () => channel.close())
  return { channel, clock, lines, says, texts, receipts, troubles }
}

async function double(): Promise<ModemDouble> {
  const made = await modemDouble()
  cleaning.push(() => made.close())
  await made.plug('ttyUSB0')
  return made
}

describeWith(['socat'], 'a modem on a pseudo-terminal', () => {
  channelContract('modem', async () => {
    const modem = await modemDouble()
    await modem.plug('ttyUSB0')
    const { channel, clock, says } = await open(modem)
    return {
      channel,
      address: '+44 7700 900101',
      breakIt: async () => {
        await says(/line is open/)
        await modem.unplug()
        await says(/line is closed/)
        // For a minute it might come back.
        clock.advance(minutes(1))
      },
      cleanUp: () => modem.close(),
    }
  })

  it('sends, is answered and tells of the delivery', async () => {
    const modem = await double()
    const { channel, texts, receipts } = await open(modem)
    expect(await channel.send(exampleLetter())).toEqual({
      kind: 'accepted',
      detail: 'the network took it, reference 1',
    })
    const deleted = modem.hears(/^AT\+CMGD=1$/)
    modem.say('\r\n+CDS: 25\r\n0006010C9144770009101072100120410000' + '72100120510000' + '00\r\n')
    modem.say(modem.core.receive(okUnit))
    await deleted
    expect(texts).toEqual([{ from: '+447700900101', text: 'OK 47', at: Date.UTC(2027, 0, 10, 2, 14) }])
    expect(receipts).toEqual([
      { call: 47, outcome: 'delivered', detail: 'the network says it was delivered' },
    ])
  })

  it('is understood in single characters', async () => {
    const modem = await double()
    modem.crumble()
    const { channel } = await open(modem)
    expect(await channel.send(exampleLetter())).toMatchObject({ kind: 'accepted' })
    expect(modem.core.sent).toHaveLength(1)
  })

  it('pulled out in the middle of a text and plugged in again under another name: the text goes, once', async () => {
    const modem = await double()
    const { channel, clock, says, lines } = await open(modem)
    await channel.send(exampleLetter())
    modem.core.twists.push((line) =>
      line.startsWith('AT+CMGS') && modem.core.sent.length === 1 ? null : undefined,
    )
    const atPrompt = modem.hears(/^AT\+CMGS/)
    const sent = channel.send(exampleLetter({ id: 48 }))
    await atPrompt
    await modem.unplug()
    await says(/line is closed/)
    modem.core.twists.length = 0
    modem.core.reset()
    await modem.plug('ttyUSB3')
    clock.advance(seconds(2))
    expect(await sent).toMatchObject({ kind: 'accepted' })
    expect(modem.core.sent).toHaveLength(2)
    expect(lines.filter((line) => line.includes('line is open')).at(-1)).toContain('ttyUSB3')
  })

  it('pulled out after it has the text: it may have been sent, and the next goes to the new name', async () => {
    const modem = await double()
    const { channel, clock, says } = await open(modem)
    modem.core.twists.push((line) => (line === 'text' ? null : undefined))
    const atEnd = modem.hears(/\x1a/)
    const sent = channel.send(exampleLetter())
    await atEnd
    await modem.unplug()
    expect(await sent).toMatchObject({
      kind: 'temporary',
      detail: expect.stringMatching(/may have been sent/),
    })
    await says(/line is closed/)
    modem.core.twists.length = 0
    modem.core.reset()
    await modem.plug('ttyUSB1')
    clock.advance(seconds(2))
    expect(await channel.send(exampleLetter())).toMatchObject({ kind: 'accepted' })
  })

  it('that is not there is looked for, told once, trouble after a minute, and found', async () => {
    const modem = await modemDouble()
    cleaning.push(() => modem.close())
    const { channel, clock, says, lines, troubles } = await open(modem)
    await says(/there is no device like/)
    clock.advance(minutes(1))
    expect(troubles).toEqual([expect.stringMatching(/^there is no device like .*ttyUSB\*$/)])
    expect(lines.filter((line) => line.includes('line is closed'))).toHaveLength(1)
    await modem.plug('ttyUSB7')
    await passUntil(clock, says(/line is open/))
    await says(/works again/)
    expect(troubles.at(-1)).toBeNull()
    expect(await channel.send(exampleLetter())).toMatchObject({ kind: 'accepted' })
  })

  it('whose first port says nothing is found at its second', async () => {
    const modem = await double()
    const mute = await modemDouble()
    cleaning.push(() => mute.close())
    mute.core.twists.push(() => null)
    await mute.plug(join(modem.folder, 'ttyACM0'))
    const { channel, clock, says } = await open(modem, { device: join(modem.folder, 'tty*') })
    mute.listen((line) => clock.advance(line.includes('\x1b') ? seconds(1) : seconds(2)))
    const sent = channel.send(exampleLetter())
    await says(/line is open.*ttyACM0/)
    await says(/nobody answers/)
    await passUntil(clock, says(/line is open.*ttyUSB0/))
    expect(await sent).toMatchObject({ kind: 'accepted' })
  })

  it('never has its PIN or a number in the log; a PIN refused is remembered over a restart, and only itself', async () => {
    const modem = await double()
    Object.assign(modem.core.card, { pin: '4711', triesLeft: 3 })
    modem.core.knowsTries = false
    const first = await open(modem, { pin: '1234' })
    expect(await first.channel.send(exampleLetter())).toMatchObject({ kind: 'permanent' })
    const file = join(modem.folder, 'data', 'pin')
    await first.channel.close()
    expect(existsSync(file)).toBe(true)
    expect(statSync(file).mode & 0o777).toBe(0o600)
    expect(readFileSync(file, 'utf8')).not.toContain('1234')

    const second = await open(modem, { pin: '1234' })
    expect(await second.channel.send(exampleLetter())).toMatchObject({ kind: 'permanent' })
    await second.channel.close()
    expect(modem.core.commands.filter((line) => line.startsWith('AT+CPIN='))).toHaveLength(1)

    const third = await open(modem, { pin: '4711' })
    expect(await third.channel.send(exampleLetter())).toMatchObject({ kind: 'accepted' })
    const said = [...first.lines, ...second.lines, ...third.lines].join('\n')
    expect(said).not.toMatch(/1234|4711|7700 ?900/)
  })
})

describeWith(['socat', 'gammu'], 'the modem double, by an independent client', () => {
  it('is a modem to gammu, and our data unit has the same number and user data as gammu’s', async () => {
    const modem = await double()
    const { path, remove } = temporaryFolder()
    cleaning.push(remove)
    const settings = join(path, 'gammurc')
    writeFileSync(settings, `[gammu]\ndevice = ${join(modem.folder, 'ttyUSB0')}\nconnection = at115200\n`)
    const gammu = (...line: string[]) => run(program('gammu'), ['-c', settings, ...line])
    expect((await gammu('identify')).stdout).toContain('490154203237518')
    const text = 'Larkfield tank 1: oxygen 3.8'
    await gammu('sendsms', 'TEXT', '+447700900101', '-text', text)
    const [theirs = ''] = modem.core.sent

    const { channel } = await open(modem)
    await channel.send(exampleLetter({ text }))
    const [, ours = ''] = modem.core.sent
    expect(parts(ours).address).toBe(parts(theirs).address)
    expect(parts(ours).coding).toBe(parts(theirs).coding)
    expect(parts(ours).userData).toBe(parts(theirs).userData)
    expect(parts(ours).userData).toBe('1CCCB07C6D4E97D964103DEC5E83623AD01B9F3F97DDA0990B07')
  })

  it('cuts and codes long texts and other scripts as we do', async () => {
    const modem = await double()
    const { path, remove } = temporaryFolder()
    cleaning.push(remove)
    const settings = join(path, 'gammurc')
    writeFileSync(settings, `[gammu]\ndevice = ${join(modem.folder, 'ttyUSB0')}\nconnection = at115200\n`)
    const texts = [
      'Larkfield: [tank 1] {oxygen} 3.8 ~ 4 € '.repeat(6).trim(),
      'Вода в баке 1: кислород 3,8 мг/л. '.repeat(4).trim(),
    ]
    for (const text of texts) {
      modem.core.sent.length = 0
      const length = String(text.length)
      const more = text.startsWith('В') ? ['-unicode'] : []
      await run(
        program('gammu'),
        ['-c', settings, 'sendsms', 'TEXT', '+447700900101', '-len', length, ...more, '-text', text],
        { env: { ...process.env, LANG: 'C.UTF-8', LC_ALL: 'C.UTF-8' } },
      )
      const theirs = modem.core.sent.splice(0)
      const { channel } = await open(modem)
      await channel.send(exampleLetter({ text }))
      await channel.close()
      const ours = modem.core.sent.splice(0)
      expect(ours.length).toBeGreaterThan(1)
      // The reference is each one's own; everything else must be alike.
      const plain = (unit: string) => parts(unit).userData.replace(/^(..050003)../, '$1xx')
      expect(ours.map(plain)).toEqual(theirs.map(plain))
    }
  })
})

/** Cuts a submitted unit: gammu asks for another validity period, and for no receipt unless it is told to. */
function parts(unit: string) {
  const centre = 2 + 2 * parseInt(unit.slice(0, 2), 16)
  const validityOctets = (parseInt(unit.slice(centre, centre + 2), 16) >> 3) & 3 ? 2 : 0
  const address = unit.slice(centre + 4, centre + 20)
  const coding = unit.slice(centre + 22, centre + 24)
  return { address, coding, userData: unit.slice(centre + 24 + validityOctets) }
}

/** Lets time pass, with files and devices answering in between, until something is so. */
async function passUntil(clock: FakeClock, isSo: Promise<void>): Promise<void> {
  let isWaiting = true
  const stop = isSo.then(() => void (isWaiting = false))
  while (isWaiting) {
    clock.advance(seconds(2))
    await new Promise((resolve) => setImmediate(resolve))
  }
  await stop
}
