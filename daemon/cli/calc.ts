import { readFile } from 'node:fs/promises'
import type { Command } from 'commander'
import { calculate, calculationNamed, type Calculated } from '../calculations/calculate.js'
import { catalogue } from '../calculations/catalogue.js'
import { describeCalculation, resultAsJson } from '../calculations/describe.js'
import type { Given } from '../calculations/read-input.js'
import { Fault } from '../errors.js'
import { calcRows } from './calc-rows.js'
import type { Terminal, Verb } from './verb.js'

/** `bellwater calc`: one computed value with its inputs, equation, source and valid range. */
export const calc: Verb = {
  name: 'calc',
  usage: '[quantity] [inputs...]',
  summary: 'compute one value, with its inputs, equation, source and valid range',
  example: 'bellwater calc oxygen_saturation_concentration temperature=20degC salinity=0g/kg pressure=1atm',
  options: (command: Command) =>
    command
      .option('--input <name=value>', 'an input; the same as name=value or --name value', collect, [])
      .option('--list', 'name everything that can be computed, with inputs and units', false)
      .option('--rows <file>', 'compute every row of a file (JSON array or JSON lines), one result a line')
      // Inputs may be written as options of their own: --temperature 20degC
      .allowUnknownOption(true),
  run: async (args, { json, own }, terminal) => {
    if (typeof own['rows'] === 'string') return calcRows(await readRows(own['rows']), terminal)
    if (own['list'] === true) return list(args[0], json, terminal)
    const [quantity, ...rest] = args
    if (quantity === undefined || quantity.startsWith('-')) {
      throw new Fault('BW_USAGE', 'which quantity?', 'bellwater calc --list names all')
    }
    const result = calculate(quantity, inputsFrom([...rest, ...listOf(own['input'])]))
    terminal.out(json ? `${JSON.stringify(resultAsJson(result), null, 2)}\n` : inWords(result))
    return 0
  },
}

const collect = (text: string, before: readonly string[]): readonly string[] => [...before, text]
const listOf = (value: unknown): readonly string[] => (Array.isArray(value) ? value.map(String) : [])

async function readRows(file: string): Promise<string> {
  try {
    return await readFile(file, 'utf8')
  } catch (cause) {
    const why = cause instanceof Error ? cause.message : String(cause)
    throw new Fault('BW_USAGE', `cannot read the rows: ${why}`, 'name a file of rows as --rows FILE', {
      cause,
    })
  }
}

/** `name=value`, `--name=value` and `--name value`, in any order. Throws BW_USAGE for anything else. */
export function inputsFrom(words: readonly string[]): ReadonlyMap<string, Given> {
  const inputs = new Map<string, Given>()
  const put = (name: string, value: string): void => {
    if (inputs.has(name)) throw new Fault('BW_USAGE', `the input "${name}" is given twice`)
    inputs.set(name, value)
  }
  for (let at = 0; at < words.length; at += 1) {
    const [, dashes = '', name = '', , value] = /^(--)?([^=]+)(=(.*))?$/s.exec(words[at] ?? '') ?? []
    const next = words[at + 1]
    if (value !== undefined) put(name, value)
    else if (dashes !== '' && next !== undefined) {
      put(name, next)
      at += 1
    } else
      throw new Fault(
        'BW_USAGE',
        `"${words[at] ?? ''}" is no input`,
        'write name=value, for example temperature=20degC',
      )
  }
  return inputs
}

/** Six digits are more than any of this is worth; --json has them all. */
const shown = (value: unknown): string =>
  typeof value === 'number'
    ? String(Number(value.toPrecision(6)))
    : Array.isArray(value)
      ? value.join(', ')
      : String(value)

const withUnit = (value: unknown, unit: string): string =>
  unit === '1' || unit === '' ? shown(value) : `${shown(value)} ${unit}`

function inWords({ quantity, value, unit, inputs, equation, cautions }: Calculated): string {
  const lines = [
    ...inputs.map((one) => [
      one.name,
      `${withUnit(one.value, one.unit)}${one.given ? '' : '   (not given)'}`,
    ]),
    ['equation', `${equation.id}: ${equation.formula}`],
    ['valid', equation.valid],
    ['source', equation.source],
    ...cautions.map((one) => ['mind', one]),
  ]
  const wide = Math.max(...lines.map(([name = '']) => name.length))
  const { label } = calculationNamed(quantity)
  const body = lines.map(([name = '', text = '']) => `  ${name.padEnd(wide)}  ${text}\n`).join('')
  return `${quantity} = ${withUnit(value, unit)}\n  ${label}\n\n${body}`
}

function list(like: string | undefined, json: boolean, terminal: Terminal): 0 {
  const entries = [...catalogue.values()].filter(
    ({ quantity }) => like === undefined || quantity.includes(like),
  )
  const described = entries.map(describeCalculation)
  if (json) terminal.out(`${JSON.stringify(described, null, 2)}\n`)
  else {
    for (const { quantity, label, unit, inputs } of described) {
      terminal.out(`${quantity}  [${unit}]  ${label}\n`)
      for (const { name, takes, optional } of inputs)
        terminal.out(`    ${name}: ${takes}${optional ? ', may be left out' : ''}\n`)
    }
  }
  return 0
}
