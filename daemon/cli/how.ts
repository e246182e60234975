import { Fault } from '../errors.js'
import { milliseconds } from '../units/time.js'
import { daemonClient } from './daemon-client.js'
import { loadFarm } from './load-farm.js'
import { spanInWords } from './span-in-words.js'
import type { Verb } from './verb.js'

/** What `/api/signals/…/how` answers, as far as it is printed. */
interface How {
  readonly label: string
  readonly value: number | null
  readonly unit: string
  readonly quality: string
  readonly low: number | null
  readonly high: number | null
  readonly limit: number | null
  readonly reasons: readonly string[]
  readonly inputs: readonly {
    readonly label: string
    readonly signal: string | null
    readonly value: number | null
    readonly unit: string
    readonly age: number | null
    readonly quality: string
    readonly assumed: string | null
  }[]
  readonly equation: { readonly id: string; readonly formula: string; readonly valid: string }
  readonly source: string
}

/** `how SIGNAL`: what a computed value was made from. */
export const howVerb: Verb = {
  name: 'how',
  usage: '<signal>',
  summary: 'how a computed value comes about: inputs with their ages, equation, source',
  example: 'bellwater how tank-1/oxygen_minutes_if_air_stops',
  options() {
    // Nothing of its own.
  },
  async run([signal = ''], options, terminal) {
    const [place, quantity, ...more] = signal.split('/')
    if (!place || !quantity || more.length > 0)
      throw new Fault(
        'BW_USAGE',
        `"${signal}" is no signal`,
        'write place/quantity, tank-1/oxygen_saturation',
      )
    const { settings } = loadFarm(options, terminal)
    const path = `/api/signals/${encodeURIComponent(place)}/${encodeURIComponent(quantity)}/how`
    const how = (await daemonClient(settings).get(path)) as How
    terminal.out(options.json ? `${JSON.stringify(how, null, 2)}\n` : inWords(signal, how))
    return 0
  },
}

const shown = (value: number | null, unit: string): string =>
  value === null ? 'none' : `${Number(value.toPrecision(4))} ${unit === '1' ? '' : unit}`.trimEnd()

function inWords(signal: string, how: How): string {
  const { low, high, limit, equation } = how
  const interval =
    low === null && high === null
      ? []
      : [
          `between ${low === null ? 'anything' : shown(low, how.unit)} and ${high === null ? 'anything' : shown(high, how.unit)}, four times out of five`,
        ]
  const lines = [
    ...interval.map((text) => ['interval', text]),
    ...(limit === null ? [] : [['counted to', String(limit)]]),
    ['quality', [how.quality, ...how.reasons].join(': ').replace(': ', ', ')],
    ...how.inputs.map((one) => [one.label, inputInWords(one)]),
    ['equation', `${equation.id}: ${equation.formula}`],
    ...(equation.valid === '' ? [] : [['valid', equation.valid]]),
    ['source', how.source],
  ]
  const wide = Math.max(...lines.map(([name = '']) => name.length))
  const body = lines.map(([name = '', text = '']) => `  ${name.padEnd(wide)}  ${text}\n`).join('')
  return `${signal} = ${shown(how.value, how.unit)}\n  ${how.label}\n\n${body}`
}

function inputInWords({ value, unit, age, quality, assumed, signal }: How['inputs'][number]): string {
  if (assumed !== null) return value === null ? assumed : `${shown(value, unit)}   (taken: ${assumed})`
  const old = age === null ? '' : `, ${spanInWords(milliseconds(age))} old`
  return `${shown(value, unit)}   (${signal ?? 'not measured'}${old}${quality === 'good' ? '' : `, ${quality}`})`
}
