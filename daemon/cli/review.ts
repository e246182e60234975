import { existsSync } from 'node:fs'
import { join } from 'node:path'
import { localTime } from '../callout/local-time.js'
import { Fault } from '../errors.js'
import type { FarmPlan } from '../farm/plan.js'
import {
  extremeOf,
  happeningsOf,
  incidentsOf,
  timesOf,
  type Account,
  type Extreme,
  type Incident,
} from '../incidents/timeline.js'
import type { History, JournalLine } from '../ports/history.js'
import { openHistory } from '../storage/sqlite/reader-thread.js'
import { after, epochMs, hours, minutes, parseRfc3339, rfc3339, type EpochMs } from '../units/time.js'
import { loadFarm } from './load-farm.js'
import type { Terminal, Verb } from './verb.js'

/** More than a busy month of journal. */
const linesMost = 100_000
const samplesMost = 20_000
/** Alarms that come again within this belong to one incident. */
const apart = minutes(30)
/** Beyond this between two samples nothing is claimed about what lay between. */
const longestGap = minutes(10)

/** `review`: the account of an incident or of a period (contract 2), its first form: the timeline, the lows and the times. */
export const reviewVerb: Verb = {
  name: 'review',
  usage: '[incident]',
  summary: 'what happened: the timeline of an incident, its lows, calls, answers and recovery',
  example: 'bellwater review --from 2027-01-13T00:00:00Z --to 2027-01-13T06:00:00Z',
  options(command) {
    command
      .option('--from <time>', 'RFC 3339; with --to, in place of an incident')
      .option('--to <time>', 'RFC 3339')
      .option('--list', 'only list the incidents on record', false)
  },
  async run([wanted], options, terminal) {
    const { settings, plan } = loadFarm(options, terminal)
    const file = join(settings.store.folder, 'bellwater.db')
    if (!existsSync(file))
      throw new Fault('BW_STORE', `nothing is recorded yet: ${file} does not exist`, 'run the watch first')
    const history = openHistory(file)
    try {
      const { from, to, list } = options.own as { from?: string; to?: string; list: boolean }
      const incidents = incidentsOf(await history.journal(epochMs(0), epochMs(8.64e15), linesMost), apart)
      if (list) return listed(incidents, plan, options.json ? 'json' : 'words', terminal)
      const period = from === undefined && to === undefined ? chosen(incidents, wanted) : spanOf(from, to)
      if (period === null) {
        terminal.out('No incident is on record.\n')
        return 0
      }
      const account = await accountOf(history, plan, period)
      terminal.out(options.json ? `${JSON.stringify(account, null, 2)}\n` : `${inWords(account, plan)}\n`)
      return 0
    } finally {
      await history.close()
    }
  },
}

/** By its number in the list, counted from 1; the latest when none is named. */
function chosen(incidents: readonly Incident[], wanted: string | undefined): Incident | null {
  if (wanted === undefined) return incidents.at(-1) ?? null
  const incident = incidents[Number(wanted) - 1]
  if (incident === undefined)
    throw new Fault(
      'BW_USAGE',
      `there is no incident ${wanted}`,
      `bellwater review --list shows ${incidents.length}`,
    )
  return incident
}

function spanOf(from: string | undefined, to: string | undefined): { from: EpochMs; to: EpochMs } {
  const [begin, end] = [from, to].map((text) => (text === undefined ? null : parseRfc3339(text)))
  if (begin == null || end == null || end <= begin) {
    throw new Fault(
      'BW_USAGE',
      '--from and --to must both be RFC 3339 times, in this order',
      'write for example 2027-01-13T00:00:00Z',
    )
  }
  return { from: begin, to: end }
}

function listed(
  incidents: readonly Incident[],
  plan: FarmPlan,
  form: 'json' | 'words',
  terminal: Terminal,
): 0 {
  if (form === 'json') terminal.out(`${JSON.stringify(incidents, null, 2)}\n`)
  else if (incidents.length === 0) terminal.out('No incident is on record.\n')
  else
    incidents.forEach((one, index) =>
      terminal.out(
        `${index + 1}  ${clock(one.from, plan)} to ${clock(one.to, plan)}  began with ${one.first}\n`,
      ),
    )
  return 0
}

async function accountOf(
  history: History,
  plan: FarmPlan,
  period: { from: EpochMs; to: EpochMs },
): Promise<Account> {
  const from = after(period.from, minutes(-2))
  const to = after(period.to, minutes(10))
  const journal = await history.journal(from, to, linesMost)
  return {
    from,
    to,
    happenings: happeningsOf(journal),
    lows: await lowsOf(history, plan, { from, to, journal }),
    times: timesOf(journal),
  }
}

/** For every process alarm that spoke: how far its signal went beyond the limit, and for how long. */
async function lowsOf(
  history: History,
  plan: FarmPlan,
  { from, to, journal }: { from: EpochMs; to: EpochMs; journal: readonly JournalLine[] },
): Promise<Extreme[]> {
  const lows: Extreme[] = []
  const spoke = new Set(journal.filter((line) => line.event === 'state').map((line) => line.about))
  for (const rule of plan.alarms.values()) {
    const { condition } = rule
    if (!spoke.has(rule.id) || (condition.kind !== 'above' && condition.kind !== 'below')) continue
    const unit = plan.signals.get(condition.signal)?.quantity.unit ?? ''
    const samples = await history.samples(condition.signal, from, to, samplesMost)
    const extreme = extremeOf(
      samples,
      { signal: condition.signal, unit, beyond: condition.kind, limit: condition.limit },
      longestGap,
    )
    if (extreme !== null) lows.push(extreme)
  }
  return lows
}

function inWords(account: Account, plan: FarmPlan): string {
  const lines = [
    `${plan.farm.name}, ${clock(account.from, plan)} to ${clock(account.to, plan)} (${plan.farm.timeZone})`,
    '',
    'What happened',
  ]
  for (const one of account.happenings)
    lines.push(`  ${clock(one.at, plan)}  ${one.kind.padEnd(8)}  ${one.says}`)
  if (account.lows.length > 0) lines.push('', 'How far it went')
  for (const low of account.lows) {
    const beyond =
      low.beyondFor === null ? '' : `, ${minutesOf(low.beyondFor)} beyond ${low.limit ?? ''} ${low.unit}`
    lines.push(
      `  ${low.signal}: ${Number(low.value.toPrecision(3))} ${low.unit} at ${clock(low.at, plan)}${beyond}`,
    )
  }
  const { conditionAt, alarmAt, firstCallAt, firstAnswerAt, allWellAt } = account.times
  lines.push('', 'How fast')
  const since = (label: string, at: EpochMs | null): void => {
    const took =
      at === null || conditionAt === null
        ? 'not in this period'
        : `${clock(at, plan)}, ${secondsOf(at - conditionAt)} after the condition began`
    lines.push(`  ${label.padEnd(14)}${took}`)
  }
  since('alarm', alarmAt)
  since('first call', firstCallAt)
  since('first answer', firstAnswerAt)
  since('all well', allWellAt)
  return lines.join('\n')
}

function clock(at: EpochMs, plan: FarmPlan): string {
  const local = localTime(at, plan.farm.timeZone)
  const second = rfc3339(at).slice(17, 19)
  return `${local.year}-${String(local.month).padStart(2, '0')}-${String(local.day).padStart(2, '0')} ${local.clock}:${second}`
}

const minutesOf = (span: number): string =>
  span < hours(2) ? `${Math.round(span / 60_000)} min` : `${(span / 3_600_000).toFixed(1)} h`
const secondsOf = (span: number): string =>
  span < minutes(3) ? `${Math.round(span / 1000)} s` : minutesOf(span)
