import Database from 'better-sqlite3'
import { connectAsync, type MqttClient } from 'mqtt'
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { startDaemon, type DaemonProcess } from '../support/daemon-process.js'
import { freePort } from '../support/free-port.js'

/**
 * The promise of one transaction, tried: the daemon is killed at random moments while 500 readings a second arrive at
 * QoS 1 and an alarm comes and goes. KILLS=50 for the figures in the README.
 */
const kills = Number(process.env['KILLS'] ?? 8)
const perSecond = 500
const folder = mkdtempSync(join(tmpdir(), 'bellwater-killed-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const stepsAfter = [0, 1, 2]

function configuration(broker: number, page: number): string {
  return `
farm: { name: Larkfield, time_zone: Europe/London }
broker: { embedded: { listen: 127.0.0.1:${broker} } }
store: { folder: ${join(folder, 'data')} }
web: { listen: 127.0.0.1:${page} }
places:
${Array.from({ length: 20 }, (_, index) => `  - { id: tank-${index + 1}, kind: tank }`).join('\n')}
probes:
  - { topic: "larkfield/{place}/{quantity}", value: /v, time: /ts, every: 1 h }
alarms:
  - { id: oxygen-low, signal: tank-1/dissolved_oxygen, below: 4.5 mg/L, deadband: 0 mg/L, on_delay: 0 s, off_delay: 0 s, priority: critical, ladder: night, cause: a, consequence: b, response: c }
chattering: off
flood: off
people: [ { id: first-keeper, name: First keeper, reach: { text: "+44 7700 900101" } } ]
ladders:
  night: { steps: [ ${stepsAfter.map((after) => `{ after: ${after} s, call: first-keeper, by: [text] }`).join(', ')} ], repeat: { every: 10 min, times: 0 } }
channels: { text: { kind: folder } }
system: { interruption_told_after: 1 h }
log: { level: warn }
`
}

interface Sent {
  readonly confirmed: Set<string>
  stop(): Promise<void>
}

/** Publishes without pause; what the broker has not confirmed is sent again, as a careful probe would. */
async function publisher(broker: number): Promise<Sent> {
  const client: MqttClient = await connectAsync(`mqtt://127.0.0.1:${broker}`, {
    clientId: 'probes',
    clean: false,
    reconnectPeriod: 30,
  })
  client.on('error', () => undefined)
  const confirmed = new Set<string>()
  const began = Date.now()
  let said = 0
  let open = 0
  const timer = setInterval(() => {
    const due = Math.floor(((Date.now() - began) / 1000) * perSecond)
    // A probe's own memory is finite too; while the daemon is away no more than this waits.
    for (; said < due && open < 1000; said += 1) {
      const place = `tank-${(said % 20) + 1}`
      const ts = new Date(began + said * 2).toISOString()
      // Tank 1 is low for six seconds of every twelve.
      const value = place === 'tank-1' && Math.floor(said / (perSecond * 6)) % 2 === 1 ? 3 : 6
      open += 1
      client.publish(
        `larkfield/${place}/dissolved_oxygen`,
        JSON.stringify({ v: value, ts }),
        { qos: 1 },
        (error) => {
          open -= 1
          if (error == null) confirmed.add(`${place} ${ts}`)
        },
      )
    }
    if (said < due) said = due
  }, 5)
  return {
    confirmed,
    stop: async () => {
      clearInterval(timer)
      while (open > 0) await new Promise((resolve) => setTimeout(resolve, 20))
      await client.endAsync(true)
    },
  }
}

interface Row {
  readonly place: string
  readonly t: number
  readonly value: number
  readonly historical: number
}

function recorded(): {
  readings: Row[]
  states: Record<string, unknown>[]
  messages: Record<string, unknown>[]
  sync: unknown
} {
  const db = new Database(join(folder, 'data', 'bellwater.db'), { readonly: true })
  const readings = db
    .prepare(
      "SELECT signals.name AS place, readings.t AS t, readings.value AS value, readings.historical AS historical FROM readings JOIN signals ON signals.id = readings.signal_id WHERE signals.name LIKE '%dissolved_oxygen' ORDER BY readings.t",
    )
    .all() as Row[]
  const docs = (event: string) =>
    (db.prepare('SELECT doc FROM journal WHERE event = ? ORDER BY seq').all(event) as { doc: string }[]).map(
      (row) => JSON.parse(row.doc) as Record<string, unknown>,
    )
  const result = { readings, states: docs('state'), messages: docs('message'), sync: null }
  db.close()
  return result
}

describe('killed again and again', () => {
  it(`${kills} kills at random moments under ${perSecond} readings a second lose nothing that was confirmed`, async () => {
    const [broker, page] = [await freePort(), await freePort()]
    const config = join(folder, 'bellwater.yaml')
    writeFileSync(config, configuration(broker, page))
    const address = `http://127.0.0.1:${page}`
    let daemon: DaemonProcess = startDaemon(config, address)
    await daemon.answers
    const sent = await publisher(broker)
    let random = 12345
    for (let kill = 0; kill < kills; kill += 1) {
      random = (random * 1103515245 + 12345) % 2147483648
      await new Promise((resolve) => setTimeout(resolve, 300 + (random / 2147483648) * 2500))
      await daemon.kill('SIGKILL')
      daemon = startDaemon(config, address)
      await daemon.answers
    }
    await sent.stop()
    await new Promise((resolve) => setTimeout(resolve, 3000))
    await daemon.kill('SIGTERM')
    judge(sent.confirmed)
  }, 600_000)
})

function judge(confirmed: ReadonlySet<string>): void {
  const { readings, states, messages } = recorded()
  const keys = readings.map((row) => `${row.place.split('/')[0] ?? ''} ${new Date(row.t).toISOString()}`)
  const kept = new Set(keys)
  const missing = [...confirmed].filter((key) => !kept.has(key))
  const activations = states.filter((line) => line['to'] === 'UNACK')
  // What the stored course asks for: one activation for every fall below the limit.
  // Sent again after newer ones, a reading is history and moves no alarm (AL-17).
  const course = readings.filter((row) => row.place === 'tank-1/dissolved_oxygen' && row.historical === 0)
  const falls = course.filter((row, index) => row.value < 4.5 && (course[index - 1]?.value ?? 6) >= 4.5)
  const steps = stepsOf(activations, states, messages)
  const letters = readdirSync(join(folder, 'data', 'outbox')).map((file) =>
    readFileSync(join(folder, 'data', 'outbox', file), 'utf8'),
  )
  console.info(
    JSON.stringify({
      kills,
      confirmed: confirmed.size,
      stored: keys.length,
      missing: missing.length,
      duplicates: keys.length - kept.size,
      falls: falls.length,
      activations: activations.length,
      ...steps,
      letters: letters.length,
      calls: messages.length,
    }),
  )
  expect(confirmed.size).toBeGreaterThan(100 * kills)
  expect(missing).toEqual([])
  expect(keys.length - kept.size).toBe(0)
  expect(falls.length).toBeGreaterThan(0)
  expect(activations.length).toBe(falls.length)
  expect(steps.skipped).toBe(0)
  expect(steps.repeated).toBe(0)
}

/** Of every step that was due while its occurrence was still unacknowledged and active: told once, never, or twice. */
function stepsOf(
  activations: readonly Record<string, unknown>[],
  states: readonly Record<string, unknown>[],
  messages: readonly Record<string, unknown>[],
) {
  let [due, skipped, repeated] = [0, 0, 0]
  for (const activation of activations) {
    const occurrence = activation['occurrence']
    const at = Number(activation['at'])
    const end = states.find(
      (line) => line['occurrence'] === occurrence && line['to'] !== 'UNACK' && line['superseded'] !== true,
    )
    const until = end === undefined ? Infinity : Number(end['at'])
    const told = messages.filter((line) => line['kind'] === 'activation' && line['occurrence'] === occurrence)
    for (const [index, after] of stepsAfter.entries()) {
      const of = told.filter((line) => line['step'] === index + 1)
      if (of.length > 1) repeated += of.length - 1
      // Steps overdue at a start are told in one text, that of the latest (AL-50).
      const later = told.some((line) => Number(line['step']) > index + 1)
      if (at + after * 1000 < until) {
        due += 1
        if (of.length === 0 && !later) skipped += 1
      }
    }
  }
  return { due, skipped, repeated }
}
