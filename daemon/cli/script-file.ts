import { z } from 'zod'
import { Fault } from '../errors.js'
import { signalPlanFor } from '../farm/on-demand.js'
import type { FarmPlan } from '../farm/plan.js'
import type { Act } from '../journal/act.js'
import type { Arrival } from '../readings/reading.js'
import type { SignalName } from '../readings/signal.js'
import { converter, measureIn, parseMeasure } from '../units/convert.js'
import { parseRfc3339, type EpochMs, type Milliseconds } from '../units/time.js'
import type { ScriptLine } from '../watch/script.js'

/** Where a line stands, for messages: `night.jsonl:12`. */
interface Where {
  readonly at: string
}

/** What a script is read with. */
export interface ScriptContext {
  readonly file: string
  readonly plan: FarmPlan
  /** Loads another configuration named in the script, relative to it. */
  readonly planOf: (file: string) => FarmPlan
}

const time = z.string().transform((text, context): EpochMs => {
  const at = parseRfc3339(text)
  if (at !== null) return at
  context.addIssue({
    code: 'custom',
    message: `"${text}" is no RFC 3339 time; write for example 2027-01-10T02:12:00Z`,
  })
  return z.NEVER
})

const span = z.string().transform((text, context): Milliseconds => {
  try {
    return measureIn(parseMeasure(text), 'ms') as Milliseconds
  } catch (cause) {
    context.addIssue({
      code: 'custom',
      message: cause instanceof Error ? cause.message : 'no length of time',
    })
    return z.NEVER
  }
})

const value = z.union([z.number(), z.string(), z.boolean(), z.null()])
const quality = z.enum(['good', 'uncertain', 'bad'])
const person = z.string().default('')
const reason = z.string().default('')

const readingForm = z.strictObject({
  arrive: time,
  t: time.optional(),
  signal: z.string(),
  value: value.optional(),
  unit: z.string().optional(),
  quality: quality.optional(),
  retained: z.boolean().optional(),
})

const act = <Do extends string, Shape extends z.ZodRawShape>(word: Do, shape: Shape) =>
  z.strictObject({ arrive: time, t: time.optional(), do: z.literal(word), ...shape })

const via = z.enum(['page', 'reply', 'link', 'button', 'terminal', 'script']).default('script')
const onAlarm = { alarm: z.string(), by: person, why: reason, via, occurrence: z.int().optional() }

const actForm = z.discriminatedUnion('do', [
  act('acknowledge', onAlarm),
  act('shelve', { ...onAlarm, for: span.optional(), one_shot: z.boolean().default(false) }),
  act('unshelve', onAlarm),
  act('reset', onAlarm),
  act('out_of_service', { ...onAlarm, until: time.optional() }),
  act('return_to_service', onAlarm),
  act('test', { to: z.string(), by: z.string().optional() }),
  act('confirm', { by: person }),
  act('deliver', {
    to: z.string(),
    by: z.string(),
    outcome: z.enum(['accepted', 'delivered', 'temporary', 'permanent']).default('accepted'),
    after: span.optional(),
  }),
  act('restart', { down_for: span }),
  act('configure', { with: z.string(), by: person, why: reason }),
  act('log', {
    signal: z.string().optional(),
    entry: z.string().optional(),
    value: value.optional(),
    unit: z.string().optional(),
    by: person,
  }),
  act('keeper', { who: z.string(), answers_after: span }),
  act('report', {}),
  act('end', {}),
])

/** Reads a whole script. Throws BW_SCRIPT naming file and line of the first thing that cannot be understood. */
export function readScript(text: string, context: ScriptContext): ScriptLine[] {
  const lines: ScriptLine[] = []
  let plan = context.plan
  let before: EpochMs | null = null
  for (const [index, raw] of text.split('\n').entries()) {
    if (raw.trim() === '') continue
    const where = { at: `${context.file}:${index + 1}` }
    const line = readLine(raw, where, { ...context, plan })
    if (line.kind === 'configure') plan = line.plan
    if (before !== null && line.arrive < before)
      refuse(where, 'arrive lies before the line above; lines go in order of arrive')
    before = line.arrive
    lines.push(line)
  }
  return lines
}

function readLine(raw: string, where: Where, context: ScriptContext): ScriptLine {
  let data: unknown
  try {
    data = JSON.parse(raw)
  } catch {
    return refuse(where, 'this line is no JSON object')
  }
  if (typeof data !== 'object' || data === null) return refuse(where, 'this line is no JSON object')
  if (!('do' in data)) {
    const reading = readingForm.safeParse(data)
    if (!reading.success) return refuseIssues(where, reading.error)
    const { arrive, t } = reading.data
    return {
      arrive,
      kind: 'reading',
      arrival: arrivalOf(reading.data, { t: t ?? null, source: 'probe' }, where, context),
    }
  }
  const parsed = actForm.safeParse(data)
  return parsed.success ? actLine(parsed.data, where, context) : refuseIssues(where, parsed.error)
}

type ActData = z.output<typeof actForm>

function actLine(data: ActData, where: Where, context: ScriptContext): ScriptLine {
  const { arrive } = data
  switch (data.do) {
    case 'deliver':
      return {
        arrive,
        kind: 'deliver',
        to: data.to,
        by: data.by,
        outcome: data.outcome,
        after: data.after ?? (0 as Milliseconds),
      }
    case 'restart':
      return { arrive, kind: 'restart', downFor: data.down_for }
    case 'configure':
      return { arrive, kind: 'configure', plan: context.planOf(data.with), by: data.by, why: data.why }
    case 'keeper':
      if (!context.plan.people.has(data.who))
        return refuse(where, `nobody called "${data.who}" is in the configuration`)
      return { arrive, kind: 'keeper', who: data.who, answersAfter: data.answers_after }
    case 'report':
    case 'end':
      return { arrive, kind: data.do }
    case 'log':
      return logLine(data, where, context)
    case 'acknowledge':
    case 'shelve':
    case 'unshelve':
    case 'reset':
    case 'out_of_service':
    case 'return_to_service':
    case 'test':
    case 'confirm':
      return { arrive, kind: 'act', act: actOf(data) }
  }
}

type Plain = Extract<
  ActData,
  {
    do:
      | 'acknowledge'
      | 'shelve'
      | 'unshelve'
      | 'reset'
      | 'out_of_service'
      | 'return_to_service'
      | 'test'
      | 'confirm'
  }
>

function actOf(data: Plain): Act {
  switch (data.do) {
    case 'acknowledge':
      return {
        do: 'acknowledge',
        alarm: data.alarm,
        occurrence: data.occurrence ?? null,
        by: data.by,
        via: data.via,
      }
    case 'shelve':
      return {
        do: 'shelve',
        alarm: data.alarm,
        for: data.for ?? null,
        oneShot: data.one_shot,
        why: data.why,
        by: data.by,
      }
    case 'unshelve':
    case 'reset':
      return { do: data.do, alarm: data.alarm, by: data.by, why: data.why }
    case 'out_of_service':
      return {
        do: 'out-of-service',
        alarm: data.alarm,
        by: data.by,
        why: data.why,
        until: data.until ?? null,
      }
    case 'return_to_service':
      return { do: 'return-to-service', alarm: data.alarm, by: data.by, why: data.why }
    case 'test':
      return { do: 'test', to: data.to, by: data.by ?? null }
    case 'confirm':
      return { do: 'confirm', by: data.by }
  }
}

function logLine(data: Extract<ActData, { do: 'log' }>, where: Where, context: ScriptContext): ScriptLine {
  const signal = data.signal ?? data.entry
  if (signal === undefined) return refuse(where, 'log needs a signal (or entry)')
  const form = {
    signal,
    ...(data.value === undefined ? {} : { value: data.value }),
    ...(data.unit === undefined ? {} : { unit: data.unit }),
  }
  const arrival = arrivalOf(form, { t: data.t ?? null, source: 'book', by: data.by }, where, context)
  return { arrive: data.arrive, kind: 'log', arrival, by: data.by }
}

interface ReadingForm {
  readonly signal: string
  readonly value?: z.output<typeof value> | undefined
  readonly unit?: string | undefined
  readonly quality?: z.output<typeof quality> | undefined
  readonly retained?: boolean | undefined
}

interface Door {
  readonly t: EpochMs | null
  readonly source: 'probe' | 'book'
  readonly by?: string
}

function arrivalOf(form: ReadingForm, door: Door, where: Where, context: ScriptContext): Arrival {
  const plan = signalPlanFor(context.plan, form.signal)
  if ('unknown' in plan) return refuse(where, plan.unknown)
  const common = {
    signal: form.signal as SignalName,
    measuredAt: door.t,
    claimed: form.quality ?? ('good' as const),
    retained: form.retained ?? false,
    source: door.source,
    ...(door.by === undefined ? {} : { by: door.by }),
  }
  const given = form.value ?? null
  if (given === null) return { ...common, value: null, why: 'the probe says that it has no value' }
  if (plan.quantity.kind === 'words') return { ...common, value: String(given) }
  const number =
    plan.quantity.kind === 'two-valued' ? twoValued(given) : typeof given === 'boolean' ? null : Number(given)
  if (number === null || !Number.isFinite(number) || given === '') {
    return { ...common, value: null, why: `"${String(given)}" is not a number` }
  }
  return { ...common, value: inUnit(number, form.unit, plan.quantity.unit, where) }
}

/** Two-valued signals accept 1/0, true/false, ON/OFF, open/closed (contract 11). */
function twoValued(given: string | number | boolean): number | null {
  if (typeof given === 'boolean') return given ? 1 : 0
  const word = String(given).trim().toLowerCase()
  if (['1', 'true', 'on', 'open'].includes(word)) return 1
  return ['0', 'false', 'off', 'closed'].includes(word) ? 0 : null
}

function inUnit(number: number, unit: string | undefined, canonical: string, where: Where): number {
  if (unit === undefined || canonical === '' || unit === canonical) return number
  try {
    return converter(unit, canonical)(number)
  } catch (cause) {
    return refuse(where, cause instanceof Error ? cause.message : `unknown unit "${unit}"`)
  }
}

function refuseIssues(where: Where, error: z.ZodError): never {
  const [issue] = error.issues
  const path = issue?.path.join('.') ?? ''
  return refuse(where, `${path === '' ? '' : `${path}: `}${issue?.message ?? 'not understood'}`)
}

function refuse(where: Where, wrong: string): never {
  throw new Fault('BW_SCRIPT', `${where.at}: ${wrong}`)
}
