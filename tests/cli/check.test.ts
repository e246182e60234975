import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { runCli } from '../../daemon/cli/cli.js'
import type { ExitCode } from '../../daemon/cli/verb.js'

let folder = ''
beforeEach(() => void (folder = mkdtempSync(join(tmpdir(), 'bellwater-check-'))))
afterEach(() => rmSync(folder, { recursive: true, force: true }))

interface Run {
  readonly code: ExitCode
  readonly out: string
  readonly err: string
}

async function check(yaml: string, ...options: readonly string[]): Promise<Run> {
  const file = join(folder, 'farm.yaml')
  writeFileSync(file, yaml)
  return checkFile(file, ...options)
}

async function checkFile(file: string, ...options: readonly string[]): Promise<Run> {
  const said = { out: '', err: '' }
  const code = await runCli(['check', '--config', file, ...options], {
    out: (text) => void (said.out += text),
    err: (text) => void (said.err += text),
    env: {},
    width: 80,
  })
  return { code, ...said }
}

const larkfield = new URL('../fixtures/configs/larkfield.yaml', import.meta.url).pathname

const unwatched = `farm: { name: Larkfield }
places:
  - id: tank-1
    kind: tank
    fish: { species: nile_tilapia, count: 40, mean_mass: 200 g }
`

describe('bellwater check', () => {
  it('says of a valid farm what is watched, when it rings, and whom it calls', async () => {
    const { code, out, err } = await checkFile(larkfield)
    expect(code).toBe(0)
    expect(err).toBe('')
    expect(out).toContain('Larkfield: 18 signals, 22 alarms. Times are of Europe/London.')
    expect(out).toContain('tank 1, 160 Nile tilapia (tank-1)')
    expect(out).toMatch(/dissolved_oxygen +every 30 s, stale after 2 min/)
    expect(out).toContain('larkfield/{place}/{quantity}, every 1 min')
    expect(out).toContain('oxygen below 4.5 mg/L for 2 min; over at 4.9 mg/L for 3 min')
    expect(out).toContain('quiet under oxygen-very-low@tank-1')
    expect(out).toContain('after 10 min: First keeper by text, then email; Second keeper by text, then')
    expect(out).toContain('after 15 min: siren on')
    expect(out).toMatch(/nitrite above 1\.00 mg\/L; over at 0\.90 mg\/L; told in the morning digest/)
    expect(out).toMatch(/The configuration is valid\.\n$/)
  })

  it('keeps to 80 columns and leaves no space at the end of a line', async () => {
    const { out } = await checkFile(larkfield)
    for (const line of out.split('\n')) {
      expect(line.length).toBeLessThanOrEqual(80)
      expect(line).toBe(line.trimEnd())
    }
  })

  it('lists the worst alarms first', async () => {
    const { out } = await checkFile(larkfield)
    const order = ['  critical\n', 'oxygen-very-low@tank-1\n', '  high\n', '  medium\n', '  low\n'].map(
      (text) => out.indexOf(text),
    )
    expect(order.every((at) => at > 0)).toBe(true)
    expect([...order].sort((a, b) => a - b)).toEqual(order)
  })

  it("shows limits in the farm's units", async () => {
    const { out } = await check(unwatched.replace('name: Larkfield', 'name: Larkfield, show_units: us'))
    expect(out).toContain('water temperature below 62.6 F for 10 min; over at 63.5 F for 10 min')
  })

  it('prints the same as JSON', async () => {
    const { code, out } = await checkFile(larkfield, '--json')
    expect(code).toBe(0)
    const report: unknown = JSON.parse(out)
    expect(report).toMatchObject({ farm: 'Larkfield', timeZone: 'Europe/London', unwatched: [] })
    expect(report).toHaveProperty('alarms.length', 22)
    expect(report).toHaveProperty('blindSpots.0.failure')
  })

  it('ends with 1 when the fish of a tank cannot be watched', async () => {
    const { code, out } = await check(unwatched)
    expect(code).toBe(1)
    expect(out).toContain('The configuration is valid, but the fish in tank-1 cannot be watched')
    expect(out).toContain('oxygen falls in tank 1: not seen')
    expect(out).toContain('would help: a dissolved oxygen probe (tank-1/dissolved_oxygen)')
  })

  it('ends with 2 on mistakes, each with file, line, column and what would be right', async () => {
    const { code, out, err } = await check(`${unwatched}equipment:
  - id: blower-a
    kind: blower
    serves:
      - tnak-1
alarms:
  - id: warm
    signal: "tnak-*/water_temperature"
    above: 30 Cel
`)
    expect(code).toBe(2)
    expect(out).toBe('')
    expect(err).toMatch(
      /farm\.yaml:10:9 equipment\[0\]\.serves\[0\]: there is no place or equipment "tnak-1"; did you mean tank-1\?/,
    )
    expect(err).toMatch(
      /farm\.yaml:13:5 alarms\[0\]\.signal: no place or equipment fits "tnak-\*".*did you mean tank-1\?/,
    )
    expect(err).toContain('2 problems')
  })

  it('ends with 2 on mistakes of form as well', async () => {
    const { code, err } = await check('farm: { name: Larkfield }\nplacs: []\n')
    expect(code).toBe(2)
    expect(err).toContain('farm.yaml:2:1 placs: unknown key; did you mean places?')
  })

  it('says plainly that the file is missing', async () => {
    const { code, err } = await checkFile(join(folder, 'nowhere.yaml'))
    expect(code).toBe(2)
    expect(err).toContain('nowhere.yaml cannot be read')
    expect(err).not.toContain('at Object')
  })
})

describe('what is worth knowing', () => {
  const remarks = async (yaml: string): Promise<readonly string[]> => {
    const { out } = await check(yaml, '--json')
    return (JSON.parse(out) as { readonly remarks: readonly string[] }).remarks
  }

  it('alarms whose priority was set by hand without a reason (AL-46)', async () => {
    const bare = `${unwatched}alarms:\n  - { id: sour, signal: tank-1/ph, below: 6.2, priority: high }\n`
    expect((await remarks(bare)).join('\n')).toContain('sour@tank-1: its priority was set by hand')
    const told = bare.replace('high }', 'high, cause: a, consequence: b, response: c }')
    expect((await remarks(told)).join('\n')).not.toContain('sour@tank-1')
  })

  it('hours in which nobody is on duty', async () => {
    const people = `${unwatched}people: [{ id: keeper, name: Keeper, reach: { text: "+44 7700 900101" } }]\n`
    const gaps = async (roster: string) =>
      (await remarks(`${people}roster: ${roster}\n`)).filter((remark) =>
        remark.startsWith('nobody is on duty'),
      )
    expect(await gaps('[{ from: Mon 20:00, to: Fri 08:00, who: [keeper] }]')).toEqual([
      'nobody is on duty Fri 08:00 to Mon 20:00',
    ])
    expect(
      await gaps(
        '[{ from: Fri 08:00, to: Mon 20:00, who: keeper }, { from: Mon 21:00, to: Fri 08:00, who: keeper }]',
      ),
    ).toEqual(['nobody is on duty Mon 20:00 to Mon 21:00'])
    expect(await gaps('[{ from: Mon 00:00, to: Mon 00:00, who: keeper }]')).toEqual([])
    expect(await gaps('[]')).toEqual([])
  })

  it('evidence that no probe publishes, and evidence without a usual band', async () => {
    const blower = `${unwatched}equipment:
  - { id: blower-a, kind: blower, serves: [tank-1], evidence: { pressure: blower-a/air_pressure } }\n`
    const all = (await remarks(blower)).join('\n')
    expect(all).toContain('no probe publishes blower-a/air_pressure, which is named as evidence')
    expect(all).toContain('the pressure of Blower A tells little until its usual band is known')
  })

  it('an open broker, a plain connection, and no lookout', async () => {
    const open = await remarks(`${unwatched}broker: { embedded: { listen: "0.0.0.0:1883" } }\n`)
    expect(open.join('\n')).toContain('asks nobody for a password')
    const outside = await remarks(`${unwatched}broker: { url: "mqtt://broker.lan:1883" }\n`)
    expect(outside.join('\n')).toContain('not encrypted')
    expect(outside.join('\n')).toContain('without a password or certificate')
    expect(outside.join('\n')).toContain('set up a lookout')
  })

  it('people whom the ladders cannot reach', async () => {
    const yaml = `${unwatched}people: [{ id: keeper, name: Keeper, reach: { email: keeper@example.org } }]
ladders: { night: { steps: [{ call: everyone, by: [text] }] } }\n`
    const all = (await remarks(yaml)).join('\n')
    expect(all).toContain('Keeper has no address on any channel of the ladders')
    expect(all).toContain('text has no channel yet')
  })
})
