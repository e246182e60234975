import Database from 'better-sqlite3'
import { connectAsync, type MqttClient } from 'mqtt'
import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { startDaemon, type DaemonProcess } from '../support/daemon-process.js'
import { freePort } from '../support/free-port.js'
import { startOpenSmtpd, type MailServer } from '../support/opensmtpd.js'
import { describeWith, startMosquitto, temporaryFolder, type Mosquitto } from '../support/services.js'

/** The whole chain over real connections: a probe's message, mosquitto, the watch, SMTP, a mailbox. CYCLES=100 for figures. */
const cycles = Number(process.env['CYCLES'] ?? 5)

const configuration = ({
  broker,
  page,
  smtp,
  folder,
}: {
  broker: number
  page: number
  smtp: number
  folder: string
}) => `
farm: { name: Larkfield, time_zone: Europe/London }
broker: { url: "mqtt://127.0.0.1:${broker}" }
store: { folder: ${folder}/data }
web: { listen: 127.0.0.1:${page} }
places: [ { id: tank-1, kind: tank } ]
probes: [ { signal: tank-1/dissolved_oxygen, topic: larkfield/tank-1/do, unit: mg/L, every: 1 h } ]
alarms:
  - { id: oxygen-low, signal: tank-1/dissolved_oxygen, below: 4.5 mg/L, deadband: 0.4 mg/L, on_delay: 500 ms, off_delay: 0 s, follow_up_delay: 0 s, priority: critical, ladder: night, cause: a, consequence: b, response: Look at the blowers. }
chattering: off
flood: off
people:
  - { id: first-keeper, name: First keeper, reach: { email: first@example.org } }
  - { id: second-keeper, name: Second keeper, reach: { email: second@example.org } }
ladders:
  night:
    steps:
      - { after: 0 s, call: first-keeper, by: [email] }
      - { after: 2 s, call: second-keeper, by: [email] }
      - { after: 4 s, call: everyone, by: [email] }
channels:
  email: { kind: smtp, host: 127.0.0.1, port: ${smtp}, encryption: none, from: bellwater@example.org }
`

interface Line {
  readonly event: string
  readonly at: number
  readonly [key: string]: unknown
}

describeWith(['mosquitto', 'smtpd'], 'from a probe to a mailbox', () => {
  const folder = temporaryFolder()
  let [mosquitto, mail, daemon, probe]: [Mosquitto?, MailServer?, DaemonProcess?, MqttClient?] = []
  let page = ''

  beforeAll(async () => {
    mosquitto = await startMosquitto()
    mail = await startOpenSmtpd()
    const port = await freePort()
    page = `http://127.0.0.1:${port}`
    const config = join(folder.path, 'bellwater.yaml')
    writeFileSync(
      config,
      configuration({ broker: mosquitto.port, page: port, smtp: mail.port, folder: folder.path }),
    )
    daemon = startDaemon(config, page)
    await daemon.answers
    probe = await connectAsync(`mqtt://127.0.0.1:${mosquitto.port}`)
    // The page answers before the broker has taken the subscription: only what is kept shows that it has.
    while (kept() === 0) {
      await say(6)
      await new Promise((resolve) => setTimeout(resolve, 100))
    }
  }, 120_000)

  afterAll(async () => {
    await probe?.endAsync()
    await daemon?.kill('SIGTERM')
    await mail?.stop()
    await mosquitto?.close()
    folder.remove()
  }, 60_000)

  const say = (value: number) => probe?.publishAsync('larkfield/tank-1/do', String(value), { qos: 1 })
  const kept = (): number => {
    const db = new Database(join(folder.path, 'data', 'bellwater.db'), { readonly: true })
    const { n } = db.prepare('SELECT count(*) AS n FROM readings').get() as { n: number }
    db.close()
    return n
  }
  const lines = (event: string): Line[] => {
    const db = new Database(join(folder.path, 'data', 'bellwater.db'), { readonly: true })
    const rows = db.prepare('SELECT doc FROM journal WHERE event = ? ORDER BY seq').all(event) as {
      doc: string
    }[]
    db.close()
    return rows.map((row) => JSON.parse(row.doc) as Line)
  }
  const until = async (event: string, holds: (line: Line) => boolean): Promise<Line> => {
    for (;;) {
      const found = lines(event).find(holds)
      if (found !== undefined) return found
      await new Promise((resolve) => setTimeout(resolve, 15))
    }
  }
  const acknowledge = () =>
    fetch(`${page}/api/alarms/oxygen-low%40tank-1/acknowledge`, {
      method: 'POST',
      headers: { 'content-type': 'application/json', 'x-bellwater-act': '1' },
      body: JSON.stringify({ by: 'first-keeper' }),
    })

  it('steps come at their due times, an acknowledgement stops them, the return is told', async () => {
    await say(6)
    await say(3.8)
    const first = await until(
      'delivery',
      (line) => line['occurrence'] === 1 && line['outcome'] === 'accepted',
    )
    const second = await until(
      'message',
      (line) => line['occurrence'] === 1 && line['to'] === 'second-keeper',
    )
    const activation = lines('state').find((line) => line['to'] === 'UNACK')
    expect(second.at - Number(activation?.at)).toBeGreaterThanOrEqual(2000)
    expect(second.at - Number(activation?.at)).toBeLessThan(2500)
    expect(first.at).toBeLessThan(second.at)
    const answer = await acknowledge()
    expect(answer.status).toBe(200)
    await say(6)
    await until('message', (line) => line['kind'] === 'follow-up' && line['to'] === 'second-keeper')
    await new Promise((resolve) => setTimeout(resolve, 2500))
    const calls = lines('message').filter((line) => line['kind'] === 'activation')
    expect(calls.map((line) => [line['to'], line['step']])).toEqual([
      ['first-keeper', 1],
      ['second-keeper', 2],
    ])
    const mails = mail?.mails().join('\n') ?? ''
    expect(mails).toContain('tank 1')
    expect(mails).toContain('back to normal')
  }, 60_000)

  it(`from the end of the on-delay to the server's acceptance, ${cycles} times`, async () => {
    const took: number[] = []
    for (let cycle = 0; cycle < cycles; cycle += 1) {
      const occurrence = lines('state').filter((line) => line['to'] === 'UNACK').length + 1
      await say(3.8)
      const accepted = await until(
        'delivery',
        (line) =>
          line['occurrence'] === occurrence &&
          line['to'] === 'first-keeper' &&
          line['outcome'] === 'accepted',
      )
      const activation = lines('state').find(
        (line) => line['to'] === 'UNACK' && line['occurrence'] === occurrence,
      )
      took.push(accepted.at - (Number(activation?.['condition_since']) + 500))
      await acknowledge()
      await say(6)
      await until('state', (line) => line['occurrence'] === occurrence && line['to'] === 'NORM')
    }
    took.sort((a, b) => a - b)
    const at = (share: number) => took[Math.min(took.length - 1, Math.floor(share * took.length))]
    console.info(JSON.stringify({ cycles, p50: at(0.5), p99: at(0.99), most: took.at(-1) }))
    expect(took.length).toBe(cycles)
  }, 600_000)
})
