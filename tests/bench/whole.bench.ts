import Database from 'better-sqlite3'
import { connectAsync } from 'mqtt'
import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { startDaemon } from '../support/daemon-process.js'
import { freePort } from '../support/free-port.js'
import { startMosquitto, temporaryFolder } from '../support/services.js'
import type { Rows } from './rows.js'

const messages = 20_000
const tanks = 60

const configuration = (broker: number, page: number, folder: string) => `
farm: { name: Larkfield, time_zone: Europe/London }
broker: { url: "mqtt://127.0.0.1:${broker}" }
store: { folder: ${folder}/data }
web: { listen: 127.0.0.1:${page} }
places:
${Array.from({ length: tanks }, (_, index) => `  - { id: tank-${index}, kind: tank }`).join('\n')}
probes: [ { topic: "bench/{place}/{quantity}", value: /v, time: /ts, every: 1 h } ]
alarms:
  - { id: oxygen-low, signal: "tank-*/dissolved_oxygen", below: 4.5 mg/L, priority: high, ladder: night, cause: a, consequence: b, response: c }
people: [ { id: first-keeper, name: First keeper, reach: { text: "+44 7700 900101" } } ]
ladders: { night: { steps: [ { after: 0 min, call: first-keeper, by: [text] } ] } }
`

/** The whole way with everything on, against a bare receive loop and bare inserts of the same messages, same run. */
export async function run(): Promise<Rows> {
  const folder = temporaryFolder()
  const mosquitto = await startMosquitto({ lines: ['max_queued_messages 0', 'max_inflight_messages 200'] })
  const page = await freePort()
  const config = join(folder.path, 'bellwater.yaml')
  writeFileSync(config, configuration(mosquitto.port, page, folder.path))
  const daemon = startDaemon(config, `http://127.0.0.1:${page}`)
  const start = await daemon.answers
  const idle = residentMiB(daemon.child.pid ?? 0)
  const stored = () => {
    const db = new Database(join(folder.path, 'data', 'bellwater.db'), { readonly: true })
    const { n } = db.prepare('SELECT count(*) AS n FROM readings').get() as { n: number }
    db.close()
    return n
  }
  await subscribed(mosquitto.port, stored)
  const before = stored()
  const ours = await timed(mosquitto.port, async () => {
    while (stored() - before < messages) await new Promise((resolve) => setTimeout(resolve, 20))
  })
  const loaded = residentMiB(daemon.child.pid ?? 0)
  await daemon.kill('SIGTERM')
  const receiver = await connectAsync(`mqtt://127.0.0.1:${mosquitto.port}`)
  let received = 0
  let all = (): void => undefined
  receiver.on('message', () => (received += 1) === messages && all())
  await receiver.subscribeAsync('bench/#', { qos: 1 })
  const receive = await timed(
    mosquitto.port,
    () => new Promise<void>((resolve) => (received >= messages ? resolve() : (all = resolve))),
  )
  await receiver.endAsync()
  const insert = bareInserts(join(folder.path, 'bare.db'))
  await mosquitto.close()
  folder.remove()
  const perSecond = (ms: number) => (messages / ms) * 1000
  return [
    { what: 'start to the page answering', value: start, unit: 'ms', ratio: null },
    { what: 'resident, idle', value: idle, unit: 'MiB', ratio: null },
    { what: 'resident, after 20 000 messages at full speed', value: loaded, unit: 'MiB', ratio: null },
    { what: 'bare mqtt.js receive loop, QoS 1', value: perSecond(receive), unit: 'messages/s', ratio: null },
    {
      what: 'bare better-sqlite3 inserts, FULL, 100 a commit',
      value: perSecond(insert),
      unit: 'readings/s',
      ratio: null,
    },
    {
      what: 'Bellwater, QoS 1, committed, against the receive loop',
      value: perSecond(ours),
      unit: 'readings/s',
      ratio: receive / ours,
    },
    {
      what: 'Bellwater against the receive loop and the inserts after another',
      value: perSecond(ours),
      unit: 'readings/s',
      ratio: (receive + insert) / ours,
    },
  ]
}

/** The page answers before the broker has taken the subscription: only what is kept shows that it has. */
async function subscribed(port: number, stored: () => number): Promise<void> {
  const publisher = await connectAsync(`mqtt://127.0.0.1:${port}`)
  while (stored() === 0) {
    await publisher.publishAsync('bench/tank-0/ph', JSON.stringify({ v: 7 }), { qos: 1 })
    await new Promise((resolve) => setTimeout(resolve, 200))
  }
  await publisher.endAsync()
}

async function timed(port: number, done: () => Promise<void>): Promise<number> {
  const publisher = await connectAsync(`mqtt://127.0.0.1:${port}`)
  const began = performance.now()
  // In the past, so that every reading keeps the time that it carries.
  const base = Date.now() - messages
  for (let index = 0; index < messages; index += 1) {
    const payload = JSON.stringify({ v: 6 + (index % 9) / 10, ts: new Date(base + index).toISOString() })
    publisher.publish(`bench/tank-${index % tanks}/dissolved_oxygen`, payload, { qos: 1 })
    if (index % 200 === 199) await new Promise((resolve) => setImmediate(resolve))
  }
  await done()
  const took = performance.now() - began
  await publisher.endAsync(true)
  return took
}

function bareInserts(file: string): number {
  const db = new Database(file)
  db.pragma('journal_mode = WAL')
  db.pragma('synchronous = FULL')
  db.exec('CREATE TABLE r (t INTEGER, s INTEGER, v REAL, PRIMARY KEY (t, s)) WITHOUT ROWID')
  const insert = db.prepare('INSERT INTO r VALUES (?, ?, ?)')
  const began = performance.now()
  for (let from = 0; from < messages; from += 100) {
    db.transaction(() => {
      for (let index = from; index < from + 100; index += 1) insert.run(index, index % tanks, 6)
    })()
  }
  const took = performance.now() - began
  db.close()
  return took
}

const residentMiB = (pid: number): number =>
  Number(/VmRSS:\s+(\d+)/.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))?.[1] ?? 0) / 1024
