import { spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { runCli } from '../../daemon/cli/cli.js'
import { catalogue } from '../../daemon/calculations/catalogue.js'
import { referenceFiles, referencePath, referenceRows } from './reference-rows.js'

const folder = mkdtempSync(join(tmpdir(), 'bellwater-calc-'))
afterAll(() => rmSync(folder, { recursive: true }))

async function typed(...words: readonly string[]) {
  const said = { out: '', err: '' }
  const exit = await runCli(words, {
    out: (text) => void (said.out += text),
    err: (text) => void (said.err += text),
    env: {},
    width: 80,
  })
  return { exit, ...said }
}

const lines = (text: string): readonly unknown[] =>
  text
    .trimEnd()
    .split('\n')
    .map((line): unknown => JSON.parse(line))

describe('calc --rows', () => {
  const rows = referenceFiles.flatMap((file) => referenceRows(file))

  it('a process of its own computes all reference rows, one result a line, in order', () => {
    const file = join(folder, 'rows.jsonl')
    writeFileSync(
      file,
      rows.map(({ id, quantity, inputs }) => JSON.stringify({ id, quantity, inputs })).join('\n'),
    )
    const main = new URL('../../daemon/main.ts', import.meta.url).pathname
    const ran = spawnSync(process.execPath, ['--import', 'tsx', main, 'calc', '--rows', file], {
      encoding: 'utf8',
    })
    expect([ran.status, ran.stderr]).toEqual([0, ''])
    const results = lines(ran.stdout)
    expect(results).toHaveLength(rows.length)
    for (const [at, { id, expected, unit, tolerance }] of rows.entries()) {
      expect(results[at]).toEqual({ id, value: expect.any(Number) as number, unit })
      const { value } = results[at] as { value: number }
      expect(Math.abs(value - expected), id).toBeLessThanOrEqual(tolerance)
    }
  })

  it.each(referenceFiles)('reads the array %s.json as it stands', async (file) => {
    const { exit, out } = await typed('calc', '--rows', referencePath(file))
    expect(exit).toBe(0)
    expect(lines(out)).toHaveLength(referenceRows(file).length)
    expect(out).not.toContain('"error"')
  })

  it('gives the error of a row in its place, and goes on', async () => {
    const file = join(folder, 'broken.jsonl')
    const good = '{"id":"d","quantity":"standard_temperature","inputs":{"altitude":"1000 m"},"unit":"degF"}'
    writeFileSync(
      file,
      `{"id":"a","quantity":"no_such","inputs":{}}\nnot json\n{"id":"c","inputs":{}}\n\n${good}\n{"id":"e","quantity":"standard_temperature","inputs":{"altitude":"1000 m"},"unit":"kg"}`,
    )
    const { exit, out, err } = await typed('calc', '--rows', file)
    expect([exit, err]).toEqual([0, ''])
    expect(lines(out)).toEqual([
      { id: 'a', error: expect.stringContaining('nothing here computes "no_such"') as string },
      { id: null, error: expect.stringContaining('line 2 is no JSON') as string },
      { id: 'c', error: expect.stringContaining('quantity') as string },
      { id: 'd', value: 47.3, unit: 'degF' },
      { id: 'e', error: expect.stringContaining('cannot be converted') as string },
    ])
  })

  it('ends with 2 when the file cannot be read or is a broken array', async () => {
    const file = join(folder, 'broken.json')
    writeFileSync(file, '[{"id": ')
    for (const name of [join(folder, 'none.json'), file]) {
      const { exit, out, err } = await typed('calc', '--rows', name)
      expect([exit, out]).toEqual([2, ''])
      expect(err).toMatch(/cannot read the rows|no JSON/)
    }
  })
})

describe('calc', () => {
  it('prints the value with inputs, equation, source and valid range', async () => {
    const { exit, out } = await typed(
      'calc',
      'oxygen_saturation_concentration',
      'temperature=20degC',
      'salinity=0g/kg',
      'pressure=1atm',
    )
    expect(exit).toBe(0)
    expect(out).toContain('oxygen_saturation_concentration = 9.09243 mg/L\n')
    for (const part of [
      'temperature  20 degC',
      'equation     DO-1: ln C*',
      'valid        0-40 degC',
      'source       Benson',
    ]) {
      expect(out).toContain(part)
    }
  })

  it('takes name=value, --input name=value, --name value and --name=value alike, and says so as JSON', async () => {
    const ways = [
      ['temperature=20degC', 'pressure=1atm'],
      ['--input', 'temperature=20degC', '--input', 'pressure=1atm'],
      ['--temperature', '20degC', '--pressure=1atm'],
    ]
    const outs = await Promise.all(
      ways.map((words) => typed('calc', 'oxygen_saturation_concentration', ...words, '--json')),
    )
    expect(new Set(outs.map(({ out }) => out)).size).toBe(1)
    expect(JSON.parse(outs[0]?.out ?? '')).toMatchObject({
      value: expect.closeTo(9.092, 3) as number,
      unit: 'mg/L',
      equation: { id: 'DO-1' },
      validity: { kind: 'inside' },
    })
  })

  it('takes negative values in every way', async () => {
    const { out } = await typed(
      'calc',
      'conduction_heat_loss',
      'area=310m2',
      'u_value=4W/(m2.K)',
      '--inside',
      '12degC',
      '--outside',
      '-3degC',
    )
    expect(out).toContain('conduction_heat_loss = 18600 W')
  })

  it('lists everything with inputs and units', async () => {
    const { exit, out } = await typed('calc', '--list')
    expect(exit).toBe(0)
    for (const quantity of catalogue.keys()) expect(out).toContain(`${quantity}  [`)
    const listed: unknown = JSON.parse((await typed('calc', '--list', '--json')).out)
    expect(listed).toHaveLength(catalogue.size)
  })

  it.each([
    [['calc'], 'which quantity?'],
    [['calc', 'free_co3'], 'did you mean free_co2?'],
    [['calc', 'free_co2', 'pH'], '"pH" is no input'],
    [['calc', 'free_co2', 'pH=7', 'pH=8'], 'the input "pH" is given twice'],
    [['calc', 'free_co2', 'pH=9', 'temperature=20degC', 'alkalinity=50mg/L'], 'it must be 6 to 8.3'],
  ])('%j ends with 2 and says what is wrong', async (words, wrong) => {
    const { exit, out, err } = await typed(...words)
    expect([exit, out]).toEqual([2, ''])
    expect(err).toContain(wrong)
  })
})
