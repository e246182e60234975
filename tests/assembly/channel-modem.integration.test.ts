import { join } from 'node:path'
import { expect, it } from 'vitest'
import { openChannels } from '../../daemon/assembly/channels.js'
import { farmFromText } from '../../daemon/cli/load-farm.js'
import { silentLog } from '../../daemon/ports/log.js'
import { seconds } from '../../daemon/units/time.js'
import { exampleLetter } from '../contracts/channel-contract.js'
import { FakeClock } from '../support/fake-clock.js'
import { modemDouble } from '../support/modem-double.js'
import { describeWith } from '../support/services.js'

describeWith(['socat'], 'a modem of the configuration', () => {
  it('opens its card with the PIN from a file, sends, and tells under its own name what came in', async () => {
    const modem = await modemDouble()
    await modem.plug('ttyUSB0')
    Object.assign(modem.core.card, { pin: '4711' })
    const { settings } = farmFromText({
      text: `
farm: { name: Larkfield, time_zone: Europe/London, altitude: 80 m }
places: [ { id: tank-1, kind: tank, volume: 1.9 m3, surface_area: 1.9 m2 } ]
people: [ { id: first-keeper, name: First keeper, reach: { text: "+44 7700 900101" } } ]
ladders: { night: { steps: [ { after: 0 min, call: first-keeper, by: [text] } ] } }
store: { folder: ${join(modem.folder, 'data')} }
channels: { text: { kind: modem, device: "${join(modem.folder, 'ttyUSB*')}", pin_file: pin, receipts: false } }
`,
      file: 'farm.yaml',
      env: {},
      readFile: () => '4711\n',
    })
    const clock = new FakeClock()
    modem.listen((line) => void (line.includes('\x1b') && clock.advance(seconds(1))))
    let heard = (_text: string): void => undefined
    const comesIn = new Promise<string>((resolve) => (heard = resolve))
    const channels = openChannels(settings, {
      outbox: join(modem.folder, 'data', 'outbox'),
      clock,
      log: silentLog,
      events: {
        trouble: () => undefined,
        text: (channel, { text }) => {
          heard(`${channel}: ${text}`)
          return Promise.resolve()
        },
        receipt: () => undefined,
      },
    })
    expect(await channels.get('text')?.send(exampleLetter())).toMatchObject({ kind: 'accepted' })
    // Without a receipt asked for (TP-SRR), nor a notice of it.
    expect(modem.core.sent).toEqual([expect.stringMatching(/^0011/)])
    expect(modem.core.commands).toContain('AT+CNMI=2,1,0,0,0')
    modem.say(modem.core.receive('07914477000900F0040C91447700091010000072100120410000' + '05CF25887603'))
    expect(await comesIn).toBe('text: OK 47')
    for (const channel of channels.values()) await channel.close()
    await modem.close()
  })
})
