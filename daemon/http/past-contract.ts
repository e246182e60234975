import { z } from 'zod'
import { by, moment, timeWritten, why } from './contract.js'

// What goes in and out of `routes/past.ts`.

export const correction = z
  .object({
    id: z.number().int(),
    signal: z.string(),
    unit: z.string().describe('UCUM code of the unit of offset and points'),
    from: moment,
    to: moment.describe('left out itself'),
    gain: z.number(),
    offset: z.number(),
    points: z.array(z.object({ reads: z.number(), truth: z.number() })),
    at: moment.describe('when it was made'),
    by: z.string(),
    why: z.string(),
    undone: z.object({ at: moment, by: z.string(), why: z.string() }).nullable().describe('null: in force'),
  })
  .meta({ id: 'Correction' })

export const recomputation = z
  .object({
    id: z.number().int(),
    of: z.string().describe('the signal whose readings changed, or the pattern asked for'),
    from: moment,
    to: moment,
    doneUntil: moment,
    finished: z.boolean(),
    changed: z.number().int().describe('computed values that are different now'),
  })
  .meta({ id: 'Recomputation' })

export const correctionMade = z
  .object({ text: z.string(), correction, recomputation })
  .meta({ id: 'CorrectionMade' })

const measure = z
  .string()
  .min(1)
  .max(60)
  .describe('a value with its unit, any unit of that quantity: 7.9 mg/L, 78 degF; pH as it is')
export const correctionBody = z.strictObject({
  by,
  why,
  signal: z.string().min(3).max(161).describe('place/quantity'),
  from: timeWritten,
  to: timeWritten.optional().describe('left out itself; now when not given, never later'),
  points: z
    .array(z.strictObject({ reads: measure, truth: measure }))
    .min(1)
    .max(2)
    .describe('what the probe said and what was true; one point shifts or scales, two do both'),
})
export const recomputeBody = z.strictObject({
  by,
  signals: z.string().min(1).max(161).default('*/*').describe('computed signals; * and ? within one part'),
  from: timeWritten,
  to: timeWritten.optional().describe('now when left out'),
})
export const correctionPath = z.object({ id: z.coerce.number().int().min(1) })

export type Correction = z.infer<typeof correction>
export type CorrectionMade = z.infer<typeof correctionMade>
