import { rfc3339, epochMs } from '../units/time.js'
import { daemonClient } from './daemon-client.js'
import { loadFarm } from './load-farm.js'
import type { Verb } from './verb.js'

interface Shown {
  readonly id: string
  readonly state: string
  readonly priority: string
  readonly number: number | null
  readonly occurrence: number
  readonly where: string
  readonly says: string
  readonly conditionSince: number | string | null
  readonly response: string | null
  readonly held: { readonly by: string; readonly why: string } | null
}

/** `alarms`: what is not plainly normal, worst first. */
export const alarmsVerb: Verb = {
  name: 'alarms',
  usage: '',
  summary: 'the alarms that are not plainly normal, worst first',
  example: 'bellwater alarms',
  options() {
    // Nothing of its own.
  },
  async run(_args, options, terminal) {
    const { settings } = loadFarm(options, terminal)
    const alarms = (await daemonClient(settings).get('/api/alarms')) as readonly Shown[]
    if (options.json) terminal.out(`${JSON.stringify(alarms, null, 2)}\n`)
    else if (alarms.length === 0)
      terminal.out('All well: no alarm is active, shelved, suppressed or out of service.\n')
    else for (const alarm of alarms) terminal.out(`${inWords(alarm)}\n`)
    return 0
  },
}

function inWords(alarm: Shown): string {
  const since = alarm.conditionSince === null ? '' : `, since ${timeOf(alarm.conditionSince)}`
  const number = alarm.number === null ? '' : ` (${alarm.number})`
  const held = alarm.held === null ? '' : `\n    ${alarm.held.why}, by ${alarm.held.by}`
  const response = alarm.response === null || alarm.held !== null ? '' : `\n    ${alarm.response}`
  return `${alarm.state.padEnd(5)} ${alarm.priority.toUpperCase().padEnd(8)} ${alarm.id}${number}: ${alarm.where}, ${alarm.says}${since}${held}${response}`
}

const timeOf = (at: number | string): string => (typeof at === 'string' ? at : rfc3339(epochMs(at)))
