import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setImmediate } from 'node:timers/promises'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { openPast, type PastAtWork } from '../../daemon/assembly/past.js'
import { runCli } from '../../daemon/cli/cli.js'
import { farmFromText } from '../../daemon/cli/load-farm.js'
import { openServer, type Server } from '../../daemon/http/server.js'
import { silentLog } from '../../daemon/ports/log.js'
import { memoryStore } from '../../daemon/storage/memory/memory-store.js'
import { days, epochMs, seconds } from '../../daemon/units/time.js'
import { signalName } from '../../daemon/readings/signal.js'
import { batch, oxygen, reading } from '../contracts/example-batch.js'
import { FakeClock } from '../support/fake-clock.js'
import { fakeDoor } from '../support/fake-watch.js'
import { freePort } from '../support/free-port.js'
import { outage } from '../support/web-farm.js'

const start = Date.UTC(2027, 0, 10)
const temperature = signalName('tank-1', 'water_temperature')

let folder = ''
let config = ''
let clock: FakeClock
let past: PastAtWork
let server: Server

/** An hour of a tank in a store, a watch's HTTP side over it, and a configuration that leads there. */
beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'bellwater-correct-'))
  const port = await freePort()
  const text = `
farm: { name: Larkfield, time_zone: Europe/London }
web: { listen: 127.0.0.1:${port} }
places: [ { id: tank-1, kind: tank } ]
probes:
  - { signal: tank-1/dissolved_oxygen, topic: t/o, unit: mg/L, every: 60 s }
  - { signal: tank-1/water_temperature, topic: t/t, unit: Cel, every: 60 s }
people: [ { id: first-keeper, name: First keeper, reach: { text: "+44 7700 900101" } } ]
ladders: { night: { steps: [ { after: 0 min, call: first-keeper, by: [text] } ] } }
`
  config = join(folder, 'bellwater.yaml')
  writeFileSync(config, text)
  const { plan } = farmFromText({ text, file: config, env: {}, readFile: () => '' })
  clock = new FakeClock(epochMs(start + 3_600_000))
  const { recorder, history } = memoryStore(clock)
  past = openPast({ recorder, history, plan: () => plan, clock, log: silentLog })
  const readings = Array.from({ length: 60 }, (_, minute) => [
    reading(start + minute * 60_000, { signal: oxygen, value: 7.9 }),
    reading(start + minute * 60_000, { signal: temperature, value: 20 }),
  ])
  past.recorder.commit(batch({ readings: readings.flat() }))
  server = await openServer({
    options: {
      listen: { host: '127.0.0.1', port },
      ...{ publicUrl: null, lookWithoutLogin: true, actWithoutLogin: true, sessionLasts: days(1) },
      ...{ key: new Uint8Array(32), pageFolder: '/nowhere' },
    },
    ...{ door: fakeDoor(clock, outage), history, past: past.past, clock, log: silentLog, plan: () => plan },
    ...{ access: { member: () => null }, stage: () => null, unready: () => [] },
  })
})
afterEach(async () => {
  await server.close()
  await past.close()
  rmSync(folder, { recursive: true, force: true })
})

/** Types a command while the watch's time goes on. */
async function typed(...args: readonly string[]) {
  const said = { out: '', err: '' }
  let code: number | null = null
  const terminal = {
    out: (text: string) => void (said.out += text),
    err: (text: string) => void (said.err += text),
    ...{ env: {}, width: 80 },
  }
  const ended = runCli([...args, '--config', config], terminal).then((exit) => (code = exit))
  while (code === null) {
    clock.advance(seconds(1))
    await setImmediate()
  }
  return { code: await ended, ...said }
}

const span = ['--from', '2027-01-10T00:10:00Z', '--to', '2027-01-10T00:20:00Z']
const points = ['--reads', '7.9mg/L', '--true', '8.3mg/L']
const who = ['--why', 'checked with the meter', '--by', 'first-keeper']

describe('correct and recompute, typed', () => {
  it('computes what was never computed, says how much that was, and that nothing is left', async () => {
    // Up to a fixed moment: the watch's time goes on meanwhile, and the probes are silent.
    const hour = ['--from', '2027-01-10T00:00:00Z', '--to', '2027-01-10T01:00:00Z']
    const first = await typed('recompute', ...hour)
    expect(first).toMatchObject({ code: 0, err: '' })
    expect(first.out).toMatch(/^\d+ computed values are different now\.\n$/)
    expect((await typed('recompute', ...hour)).out).toBe('No computed value is different now.\n')
  })

  it('puts a correction into force, lists it, and takes it back', async () => {
    await typed('recompute', '--from', '2027-01-10T00:00:00Z')
    const made = await typed('correct', 'tank-1/dissolved_oxygen', ...span, ...points, ...who)
    expect(made.out).toMatch(
      /^Correction 1 is in force\. True value = 1\.051 x reading\.\n\d+ computed values are/,
    )
    expect((await typed('correct', '--list')).out).toBe(
      '1  tank-1/dissolved_oxygen  2027-01-10T00:10:00Z to 2027-01-10T00:20:00Z  True value = 1.051 x reading.\n' +
        '   first-keeper: checked with the meter\n',
    )
    const undone = await typed('correct', '--undo', '1', '--why', 'the meter was wrong')
    expect(undone.out).toMatch(/^Correction 1 is taken back\./)
    expect((await typed('correct', '--list')).out).toContain('   taken back by page: the meter was wrong\n')
  })

  it('corrects by two points', async () => {
    const two = ['--reads', '4 mg/L', '--true', '5 mg/L', '--reads', '8 mg/L', '--true', '10 mg/L']
    const { out } = await typed('correct', 'tank-1/dissolved_oxygen', ...span, ...two, '--why', 'meter')
    expect(out).toContain('True value = 1.25 x reading.')
    const shifted = ['--reads', '20 Cel', '--true', '19.5 Cel']
    const other = await typed('correct', 'tank-1/water_temperature', ...span, ...shifted, '--why', 'meter')
    expect(other.out).toContain('True value = reading - 0.5 Cel.')
  })

  it('prints JSON for scripts', async () => {
    const { out } = await typed('correct', 'tank-1/dissolved_oxygen', ...span, ...points, ...who, '--json')
    expect(JSON.parse(out)).toMatchObject({ correction: { id: 1 }, recomputation: { finished: true } })
  })

  it.each<[string, readonly string[], number, string]>([
    [
      'a pair without its other half',
      ['correct', 'tank-1/ph', ...span, '--reads', '7', ...who],
      2,
      '1 times --reads, 0 times --true',
    ],
    ['no start', ['correct', 'tank-1/dissolved_oxygen', ...points, ...who], 2, '--from is missing'],
    ['no reason', ['correct', 'tank-1/dissolved_oxygen', ...span, ...points], 2, '--why is missing'],
    ['no signal', ['correct', ...span, ...points, ...who], 2, 'the signal is missing'],
    [
      'another tank',
      ['correct', 'tank-2/ph', ...span, ...points, ...who],
      1,
      'there is no place or equipment "tank-2"',
    ],
    [
      'a computed value',
      ['correct', 'tank-1/oxygen_saturation', ...span, '--reads', '80%', '--true', '90%', ...who],
      1,
      'is computed, not measured',
    ],
    [
      'nothing computed',
      ['recompute', '--from', '2027-01-10T00:00:00Z', '--signal', 'tank-2/*'],
      1,
      'nothing that is computed is called',
    ],
    ['no time', ['recompute', '--from', 'yesterday'], 2, '--from yesterday is no time'],
  ])('refuses %s', async (_, args, code, says) => {
    const said = await typed(...args)
    expect([said.code, said.err]).toEqual([code, expect.stringContaining(says)])
  })
})
