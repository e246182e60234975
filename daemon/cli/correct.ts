import { Fault } from '../errors.js'
import type { Correction, CorrectionMade } from '../http/past-contract.js'
import { epochMs, rfc3339 } from '../units/time.js'
import { awaitRecomputation, changedInWords } from './await-recomputation.js'
import { daemonClient, type DaemonClient } from './daemon-client.js'
import { loadFarm } from './load-farm.js'
import { timeOption } from './time-option.js'
import type { Terminal, Verb, VerbOptions } from './verb.js'

interface Written {
  readonly from?: string
  readonly to?: string
  readonly reads: readonly string[]
  readonly true: readonly string[]
  readonly why?: string
  readonly by?: string
  readonly undo?: string
  readonly list: boolean
}

const collect = (value: string, before: readonly string[]): readonly string[] => [...before, value]

/** `correct`: a probe was found to be off, and since when (contract 2). */
export const correctVerb: Verb = {
  name: 'correct',
  usage: '[signal]',
  summary: 'a probe was off: read what it sent over a span as it should have been, and compute anew',
  example:
    'bellwater correct tank-1/dissolved_oxygen --from 2027-01-10T08:00:00Z --reads 7.9mg/L --true 8.3mg/L --why "checked with the meter"',
  options(command) {
    command
      .option('--from <time>', 'RFC 3339: since when it was off')
      .option('--to <time>', 'RFC 3339; until now when left out')
      .option('--reads <value>', 'what the probe said; a second time for a second point', collect, [])
      .option('--true <value>', 'what was true at that moment', collect, [])
      .option('--why <reason>', 'kept in the record')
      .option('--by <person>', 'who found it')
      .option('--undo <number>', 'take a correction back, in place of a signal')
      .option('--list', 'only list the corrections on record', false)
  },
  async run([signal], options, terminal) {
    const written = options.own as unknown as Written
    const { settings } = loadFarm(options, terminal)
    const client = daemonClient(settings)
    if (written.list) return listed(client, options, terminal)
    const made = (await (written.undo === undefined
      ? client.post('/api/corrections', wishOf(signal, written))
      : client.post(`/api/corrections/${encodeURIComponent(written.undo)}/undo`, {
          ...byOf(written),
          why: needed(written.why, '--why', '"the meter was wrong"'),
        }))) as CorrectionMade
    if (!options.json) terminal.out(`${made.text} ${lineInWords(made.correction)}\n`)
    const done = await awaitRecomputation(client, made.recomputation.id, terminal)
    terminal.out(
      options.json ? `${JSON.stringify({ ...made, recomputation: done })}\n` : `${changedInWords(done)}\n`,
    )
    return 0
  },
}

const byOf = ({ by }: Written): object => (by === undefined ? {} : { by })

function wishOf(signal: string | undefined, written: Written): object {
  const { from, to, reads, true: truths, why } = written
  if (reads.length !== truths.length || reads.length === 0 || reads.length > 2)
    throw new Fault(
      'BW_USAGE',
      `${reads.length} times --reads, ${truths.length} times --true`,
      'give one pair or two: --reads 7.9mg/L --true 8.3mg/L',
    )
  return {
    signal: needed(signal, 'the signal', 'tank-1/dissolved_oxygen'),
    from: timeOption('--from', needed(from, '--from', '2027-01-10T08:00:00Z')),
    ...(to === undefined ? {} : { to: timeOption('--to', to) }),
    points: reads.map((read, index) => ({ reads: read, truth: truths[index] })),
    why: needed(why, '--why', '"checked with the meter"'),
    ...byOf(written),
  }
}

function needed(value: string | undefined, what: string, example: string): string {
  if (value !== undefined && value !== '') return value
  throw new Fault('BW_USAGE', `${what} is missing`, `write for example ${example}`)
}

async function listed(client: DaemonClient, options: VerbOptions, terminal: Terminal): Promise<0> {
  const all = (await client.get('/api/corrections')) as readonly Correction[]
  if (options.json) terminal.out(`${JSON.stringify(all, null, 2)}\n`)
  else if (all.length === 0) terminal.out('No correction is on record.\n')
  for (const one of options.json ? [] : all) {
    const { id, signal, from, to, by, why, undone } = one
    terminal.out(
      `${id}  ${signal}  ${rfc3339(epochMs(from))} to ${rfc3339(epochMs(to))}  ${lineInWords(one)}\n`,
    )
    terminal.out(`   ${by}: ${why}\n`)
    if (undone !== null) terminal.out(`   taken back by ${undone.by}: ${undone.why}\n`)
  }
  return 0
}

/** `true value = 1.051 x reading - 0.2 mg/L` */
function lineInWords({ gain, offset, unit }: Correction): string {
  const scaled = gain === 1 ? 'reading' : `${Number(gain.toPrecision(4))} x reading`
  const sign = offset < 0 ? '-' : '+'
  const shifted = offset === 0 ? '' : ` ${sign} ${Number(Math.abs(offset).toPrecision(4))} ${unit}`
  return `True value = ${scaled}${shifted}.`
}
