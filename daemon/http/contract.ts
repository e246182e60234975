import { z } from 'zod'
import { stateWords } from '../alarms/memory.js'
import { priorities } from '../alarms/rule.js'
import { qualities } from '../readings/reading.js'
import { parseRfc3339 } from '../units/time.js'

// The only door between the daemon and its pages: schemas in, types out. Everything is in canonical units and epoch ms.

export const moment = z.number().describe('milliseconds since 1970-01-01T00:00:00Z')
const list = <T extends z.ZodType>(of: T) => z.array(of).readonly()

/** A time as people or scripts write it: RFC 3339 with a zone, or epoch milliseconds. */
export const timeWritten = z
  .union([z.number().int(), z.string().max(40)])
  .transform((written, issues) => {
    const at =
      typeof written === 'number' || /^-?\d{1,15}$/.test(written) ? Number(written) : parseRfc3339(written)
    if (at !== null) return at
    issues.addIssue({
      code: 'custom',
      message: 'is no time: write RFC 3339 with a zone, 2027-01-10T00:00:00Z, or epoch milliseconds',
    })
    return z.NEVER
  })
  .describe('RFC 3339 with a zone, or milliseconds since 1970-01-01T00:00:00Z')

export const signalNow = z
  .object({
    signal: z.string(),
    place: z.string(),
    quantity: z.string(),
    label: z.string(),
    unit: z.string().describe('UCUM code of the canonical unit'),
    value: z.union([z.number(), z.string()]).nullable(),
    quality: z.enum(qualities),
    reasons: list(z.string()).describe('why the quality is not good, worst first'),
    at: moment.nullable().describe('when it was measured, epoch ms; null when never'),
    stale: z.boolean(),
    perMinute: z.number().nullable().describe('change a minute, canonical unit; null when it cannot be told'),
    computed: z.boolean(),
    low: z
      .number()
      .nullable()
      .describe('of a computed value: the truth lies between low and high 4 times of 5'),
    high: z.number().nullable().describe('null where nothing bounds it'),
    limit: z
      .number()
      .nullable()
      .describe('the level that a forecast counts down to, in the unit of that level'),
  })
  .meta({ id: 'SignalNow' })

export const alarmNow = z
  .object({
    id: z.string(),
    rule: z.string(),
    about: z.string(),
    place: z.string(),
    where: z.string(),
    priority: z.enum(priorities),
    lifeSupport: z.boolean(),
    state: z.enum(stateWords).describe('state word of the ANSI/ISA-18.2 model'),
    active: z.boolean(),
    occurrence: z.number().int(),
    number: z.number().int().nullable().describe('the farm-wide number that texts carry'),
    conditionSince: moment.nullable(),
    activatedAt: moment.nullable(),
    acknowledgedBy: z.string().nullable(),
    acknowledgedAt: moment.nullable(),
    held: z.object({ by: z.string(), why: z.string(), until: moment.nullable() }).nullable(),
    says: z.string(),
    cause: z.string().nullable(),
    consequence: z.string().nullable(),
    response: z.string().nullable(),
    calling: z.object({ step: z.number().int(), nextAt: moment.nullable() }).nullable(),
    signal: z.string().nullable().describe('the signal whose value it judges; null when it judges none'),
  })
  .meta({ id: 'AlarmNow' })

export const equipmentNow = z
  .object({
    id: z.string(),
    kind: z.string(),
    label: z.string(),
    serves: list(z.string()),
    mode: z.string(),
    confidence: z.number().min(0).max(1),
    since: moment.nullable(),
    evidence: list(z.string()),
  })
  .meta({ id: 'EquipmentNow' })

/** Beyond which value of a signal an alarm speaks. */
export const limit = z
  .object({
    signal: z.string(),
    alarm: z.string(),
    priority: z.enum(priorities),
    beyond: z.enum(['above', 'below']),
    limit: z.number(),
  })
  .meta({ id: 'Limit' })

/** What the practice greenhouse says above everything else. */
export const stage = z.object({ says: z.string(), tryThis: z.string() }).meta({ id: 'Stage' })

export const now = z
  .object({
    at: moment,
    farm: z.object({
      name: z.string(),
      id: z.string(),
      timeZone: z.string(),
      showUnits: z.enum(['metric', 'us']),
    }),
    places: list(
      z.object({
        id: z.string(),
        kind: z.string(),
        label: z.string(),
        fishCount: z.number().nullable(),
      }),
    ),
    signals: list(signalNow),
    alarms: list(alarmNow).describe('every alarm that is not plainly normal, worst first'),
    equipment: list(equipmentNow),
    onDuty: list(z.object({ id: z.string(), name: z.string() })),
    counts: z.object({
      shelved: z.number().int(),
      suppressed: z.number().int(),
      outOfService: z.number().int(),
      stale: z.number().int(),
      watched: z.number().int(),
    }),
    quietSince: moment.nullable(),
    limits: list(limit),
    people: list(z.object({ id: z.string(), name: z.string() })),
    stage: stage.nullable(),
  })
  .meta({ id: 'Now' })

/** What became different since the last event: whole lists where anything in them did, signals one by one. */
export const change = now.partial().required({ at: true }).meta({ id: 'Change' })

export const sample = z.object({
  at: moment,
  value: z.union([z.number(), z.string()]).nullable(),
  quality: z.enum(qualities),
})

export const course = z
  .object({
    signal: z.string(),
    label: z.string(),
    unit: z.string(),
    from: moment,
    to: moment,
    gapAfter: z.number().describe('ms; longer between two samples is a gap, never to be bridged by a line'),
    samples: list(sample),
    limits: list(limit),
  })
  .meta({ id: 'Course' })

export const call = z
  .object({
    id: z.number().int(),
    at: moment,
    channel: z.string(),
    to: z.string().describe('id of the person; addresses are never shown'),
    text: z.string().nullable(),
    alarm: z.string().nullable(),
    number: z.number().int().nullable(),
    outcome: z.string().nullable(),
    outcomeAt: moment.nullable(),
    detail: z.string().nullable(),
  })
  .meta({ id: 'Call' })

export const journalLine = z
  .object({
    seq: z.number().int(),
    at: moment,
    event: z.string(),
    about: z.string().nullable(),
    doc: z.unknown(),
  })
  .meta({ id: 'JournalLine' })

export const answer = z
  .object({
    at: moment,
    to: z.string(),
    accepted: z.literal(true),
    text: z.string(),
    do: z.string(),
    alarm: z.string().optional(),
    occurrence: z.number().int().optional(),
  })
  .meta({ id: 'Answer' })

export const session = z
  .object({
    person: z.string().nullable().describe('who is logged in; null when nobody'),
    mayLook: z.boolean(),
    mayAct: z.boolean(),
  })
  .meta({ id: 'Session' })

/** RFC 9457 problem details; `errors` as in its section 3. */
export const problem = z
  .object({
    type: z.string(),
    title: z.string(),
    status: z.number().int(),
    detail: z.string().optional(),
    code: z.string().optional().describe('stable BW_ code where the daemon has one'),
    errors: z
      .array(
        z.object({
          detail: z.string(),
          pointer: z.string().optional().describe('JSON Pointer into the body, as a URI fragment'),
          parameter: z.string().optional().describe('name of the part of the address'),
        }),
      )
      .optional(),
  })
  .meta({ id: 'Problem' })

export const by = z
  .string()
  .min(1)
  .max(80)
  .optional()
  .describe('id of the person who acts, where nobody is logged in; left out, the record says "page"')
export const why = z.string().trim().min(1).max(300).describe('kept in the record')

export const acknowledgeBody = z.strictObject({
  by,
  occurrence: z.number().int().min(1).nullable().default(null).describe('null: the one that is open'),
})
export const shelveBody = z.strictObject({
  by,
  why,
  forMinutes: z
    .number()
    .positive()
    .max(10_080)
    .nullable()
    .default(null)
    .describe('min; null: the longest allowed'),
  oneShot: z.boolean().default(false).describe('ends by itself once the alarm has come and gone'),
})
export const whyBody = z.strictObject({ by, why })
export const outOfServiceBody = z.strictObject({ by, why, until: timeWritten.nullable().default(null) })
export const logBody = z.strictObject({
  by,
  place: z.string().min(1).max(80),
  quantity: z.string().min(1).max(80),
  value: z.number(),
  unit: z
    .string()
    .max(40)
    .describe('any unit of that quantity, as in the configuration; mg/L, degF, gal/min'),
  at: timeWritten.optional().describe('when the sample was taken; now when left out'),
})
export const loginBody = z.strictObject({
  person: z.string().min(1).max(80),
  password: z.string().min(1).max(200),
})

export const alarmPath = z.object({ id: z.string().min(1).max(200) })
export const signalPath = z.object({ place: z.string().min(1).max(80), quantity: z.string().min(1).max(80) })
export const spanQuery = z.strictObject({
  from: timeWritten.optional().describe('24 h before `to` when left out'),
  to: timeWritten.optional().describe('now when left out'),
})
export const courseQuery = spanQuery.extend({
  width: z.coerce.number().int().min(20).max(4000).default(600).describe('at most so many samples'),
  raw: z.stringbool().default(false).describe('true: as the probe sent it, corrections left out'),
})
export const recordQuery = spanQuery.extend({ limit: z.coerce.number().int().min(1).max(2000).default(200) })

export type Now = z.infer<typeof now>
export type Change = z.infer<typeof change>
export type SignalNow = z.infer<typeof signalNow>
export type AlarmNow = z.infer<typeof alarmNow>
export type EquipmentNow = z.infer<typeof equipmentNow>
export type Limit = z.infer<typeof limit>
export type Stage = z.infer<typeof stage>
export type Course = z.infer<typeof course>
export type Sample = z.infer<typeof sample>
export type Call = z.infer<typeof call>
export type JournalLine = z.infer<typeof journalLine>
export type Answer = z.infer<typeof answer>
export type Session = z.infer<typeof session>
export type Problem = z.infer<typeof problem>
export type { Priority } from '../alarms/rule.js'
export type { StateWord } from '../alarms/memory.js'
export type { Quality } from '../readings/reading.js'
