import { readFileSync } from 'node:fs'
import { dirname, resolve } from 'node:path'
import { Fault } from '../errors.js'
import { globMatcher } from '../farm/globs.js'
import type { Line } from '../journal/line.js'
import { measureIn, parseMeasure } from '../units/convert.js'
import { rfc3339, type EpochMs, type Milliseconds } from '../units/time.js'
import { rehearse } from '../watch/rehearse.js'
import { loadFarm } from './load-farm.js'
import { readScript } from './script-file.js'
import type { Verb } from './verb.js'

/** `rehearse --script`: a written course of readings and acts through the whole core in virtual time (contract 9). */
export const rehearseVerb: Verb = {
  name: 'rehearse',
  usage: '',
  summary: 'run a written course of readings and acts through the whole watch in virtual time',
  example: 'bellwater rehearse --script tests/scenarios/oxygen-falls.jsonl --json',
  options(command) {
    command
      .option('--script <file>', 'JSON lines: readings and acts in order of arrival')
      .option(
        '--derived <glob>',
        'also print computed values of these signals, for example "tank-*/oxygen_saturation"',
      )
      .option(
        '--every <time>',
        'print computed values at this interval instead of at each change, for example 1min',
      )
  },
  run(_args, options, terminal) {
    const { script, derived, every } = options.own as { script?: string; derived?: string; every?: string }
    if (script === undefined)
      throw new Fault(
        'BW_USAGE',
        'rehearse needs a script',
        'write for example: bellwater rehearse --script night.jsonl',
      )
    const { plan } = loadFarm(options, terminal)
    const planOf = (file: string) =>
      loadFarm({ ...options, config: resolve(dirname(script), file) }, terminal).plan
    const lines = readScript(readText(script), { file: script, plan, planOf })
    const how = {
      derived: derived === undefined ? null : globMatcher(derived),
      every: every === undefined ? null : (measureIn(parseMeasure(every), 'ms') as Milliseconds),
    }
    rehearse(plan, lines, how, (line) => terminal.out(`${options.json ? asJson(line) : asWords(line)}\n`))
    return Promise.resolve(0)
  },
}

function readText(file: string): string {
  try {
    return readFileSync(file, 'utf8')
  } catch (cause) {
    throw new Fault('BW_SCRIPT', `the script ${file} cannot be read`, 'check its name', { cause })
  }
}

/** Times in RFC 3339; what serves only the outbox is left out. */
function asJson(line: Line): string {
  const {
    id: _id,
    facts: _facts,
    detail: _detail,
    ...shown
  } = line as Line & { id?: number; facts?: unknown; detail?: string }
  return JSON.stringify(shown, (key: string, value: unknown) =>
    typeof value === 'number' && (key === 'at' || key === 'condition_since' || key === 'since')
      ? rfc3339(value as EpochMs)
      : value,
  )
}

function asWords(line: Line): string {
  const at = rfc3339(line.at)
  switch (line.event) {
    case 'state':
      return `${at}  ${line.alarm} #${line.occurrence}: ${line.from} to ${line.to}${line.superseded === true ? ' (overtaken)' : ''}${line.by === undefined ? '' : ` by ${line.by}`}`
    case 'message':
      return `${at}  ${line.kind} to ${line.to} by ${line.by}: ${line.text}`
    case 'delivery':
      return `${at}  delivery to ${line.to} by ${line.by}: ${line.outcome}`
    case 'answer':
      return `${at}  answer to ${line.to}: ${line.accepted ? '' : 'no. '}${line.text}`
    case 'verdict':
      return `${at}  ${line.of}: ${line.mode} (${line.evidence.join('; ')})`
    case 'first-out':
      return `${at}  first out in ${line.group}: ${line.alarms.join(', ')}`
    case 'flood':
      return `${at}  alarm flood ${line.phase === 'begin' ? 'begins' : 'is over'}: ${line.activations} activations`
    case 'switch':
      return `${at}  ${line.channel} switched ${line.on ? 'on' : 'off'}`
    case 'value':
      return `${at}  ${line.signal} = ${line.value ?? `none (${line.why ?? ''})`} ${line.unit} ${line.quality}`
  }
}
