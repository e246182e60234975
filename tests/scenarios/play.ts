import { readFileSync } from 'node:fs'
import { dirname, join, resolve } from 'node:path'
import { fileURLToPath } from 'node:url'
import { parse, stringify } from 'yaml'
import { farmFromText, loadFarm } from '../../daemon/cli/load-farm.js'
import { readScript } from '../../daemon/cli/script-file.js'
import type { FarmPlan } from '../../daemon/farm/plan.js'
import type { Line } from '../../daemon/journal/line.js'
import { epochMs, parseRfc3339, rfc3339, type EpochMs } from '../../daemon/units/time.js'
import { rehearse } from '../../daemon/watch/rehearse.js'

const folder = dirname(fileURLToPath(import.meta.url))

/**
 * A scenario as a keeper can read it: a farm, a course of readings and acts, and what must be told. `begin` is the
 * moment 00:00 of the times below; a time is `+m:ss` or `+h:mm:ss` after it.
 */
export interface Scenario {
  readonly rule: string
  readonly says: string
  readonly farm: string
  /** Alarm settings to change for this scenario, by top-level key of the configuration. */
  readonly change?: Readonly<Record<string, unknown>>
  readonly begin: string
  readonly course: readonly Readonly<Record<string, unknown>>[]
  /** Lines that must be told, in this order; each names only the fields that matter. */
  readonly expect: readonly Readonly<Record<string, unknown>>[]
  /** Kinds of lines of which there may be no others than those expected, for example `state`. */
  readonly only?: readonly string[]
  /** Lines that may not be told at all. */
  readonly never?: readonly Readonly<Record<string, unknown>>[]
}

export const readScenario = (file: string): Scenario =>
  parse(readFileSync(join(folder, file), 'utf8')) as Scenario

/** Runs it and gives the lines as `rehearse --json` prints them. */
export function played(scenario: Scenario): Readonly<Record<string, unknown>>[] {
  const plan = farmOf(scenario)
  const begin = momentOf(scenario.begin)
  const text = scenario.course
    .flatMap((line) => repeated(line, begin))
    .sort((a, b) => a.at - b.at)
    .map((one) => one.json)
    .join('\n')
  const lines: Readonly<Record<string, unknown>>[] = []
  const script = readScript(text, { file: scenario.rule, plan, planOf: (file) => farmNamed(file) })
  rehearse(plan, script, { derived: null, every: null }, (line) => lines.push(shown(line)))
  return lines
}

/** Expected lines with their times written out. */
export function expected(scenario: Scenario): Readonly<Record<string, unknown>>[] {
  const begin = momentOf(scenario.begin)
  return scenario.expect.map((line) => withTimes(line, begin))
}

const farmNamed = (file: string): FarmPlan =>
  loadFarm({ config: resolve(folder, 'farms', file) }, { env: {} }).plan

function farmOf({ farm, change }: Scenario): FarmPlan {
  if (change === undefined) return farmNamed(farm)
  return changedFarm(farm, change)
}

function momentOf(text: string): EpochMs {
  const at = parseRfc3339(text)
  if (at === null) throw new Error(`${text} is no time`)
  return at
}

/** `+1:30`, `+2:00:00`: after the beginning. */
function after(text: unknown, begin: EpochMs): EpochMs | null {
  const parts = /^\+(?:(\d+):)?(\d+):(\d\d)$/.exec(String(text))
  if (parts === null) return null
  const [, hours = '0', minutes = '0', seconds = '0'] = parts
  return epochMs(begin + ((Number(hours) * 60 + Number(minutes)) * 60 + Number(seconds)) * 1000)
}

/** A line with `every` and `until` is said again and again, as a probe would; `value` may then be `[from, to]`. */
function repeated(line: Readonly<Record<string, unknown>>, begin: EpochMs): { at: number; json: string }[] {
  const { at, every, until, ...others } = line
  // Of a single act, for example of taking out of service, `until` is a part.
  const rest = every === undefined && until !== undefined ? { ...others, until } : others
  const first = after(at, begin)
  if (first === null) throw new Error(`${JSON.stringify(line)}: at must be like +1:30`)
  const last = every === undefined ? first : (after(until, begin) ?? first)
  const step = every === undefined ? 0 : Number(every) * 1000
  const said: { at: number; json: string }[] = []
  for (let now: number = first; now <= last; now += step === 0 ? last - first + 1 : step) {
    const share = last === first ? 0 : (now - first) / (last - first)
    said.push({
      at: now,
      json: JSON.stringify({ arrive: rfc3339(epochMs(now)), ...withTimes(valueAt(rest, share), begin) }),
    })
  }
  return said
}

function valueAt(line: Readonly<Record<string, unknown>>, share: number): Readonly<Record<string, unknown>> {
  if (!Array.isArray(line['value'])) return line
  const [from, to] = line['value'] as [number, number]
  return { ...line, value: Math.round((from + (to - from) * share) * 1000) / 1000 }
}

const withTimes = (
  line: Readonly<Record<string, unknown>>,
  begin: EpochMs,
): Readonly<Record<string, unknown>> =>
  Object.fromEntries(
    Object.entries(line).map(([key, value]) => [
      key,
      typeof value === 'string' ? timeOr(value, begin) : value,
    ]),
  )

function timeOr(value: string, begin: EpochMs): string {
  const at = after(value, begin)
  return at === null ? value : rfc3339(at)
}

function shown(line: Line): Readonly<Record<string, unknown>> {
  const plain = line as unknown as Readonly<Record<string, unknown>>
  const times = ['at', 'condition_since', 'since']
  return Object.fromEntries(
    Object.entries(plain)
      .filter(([key]) => key !== 'id' && key !== 'facts' && key !== 'detail')
      .map(([key, value]) => [key, times.includes(key) ? rfc3339(epochMs(Number(value))) : value]),
  )
}

/** Whether a told line says all that is expected of it. A text is expected by a part of it. */
export function fits(
  told: Readonly<Record<string, unknown>>,
  wanted: Readonly<Record<string, unknown>>,
): boolean {
  return Object.entries(wanted).every(([key, value]) => {
    const has = told[key]
    if (key === 'text') return typeof has === 'string' && has.includes(String(value))
    return JSON.stringify(has) === JSON.stringify(value)
  })
}

function changedFarm(farm: string, change: Readonly<Record<string, unknown>>): FarmPlan {
  const whole = parse(readFileSync(resolve(folder, 'farms', farm), 'utf8')) as Record<string, unknown>
  return farmFromObject({ ...whole, ...change }, farm)
}

const farmFromObject = (data: Readonly<Record<string, unknown>>, file: string): FarmPlan =>
  farmFromText({ text: stringify(data), file, env: {}, readFile: (name) => readFileSync(name, 'utf8') }).plan
