import { z } from 'zod'
import { qualities } from '../readings/reading.js'
import { moment } from './contract.js'

// What goes in and out of `routes/calc.ts` and `routes/how.ts`.

export const howComputed = z
  .object({
    signal: z.string(),
    label: z.string(),
    at: moment,
    value: z.number().nullable().describe('null when it cannot be told, or nothing is foreseen; see reasons'),
    unit: z.string(),
    quality: z.enum(qualities),
    low: z.number().nullable(),
    high: z.number().nullable(),
    limit: z.number().nullable(),
    reasons: z.array(z.string()),
    inputs: z.array(
      z.object({
        name: z.string(),
        label: z.string(),
        signal: z.string().nullable().describe('null: nothing measures it'),
        value: z.number().nullable(),
        unit: z.string(),
        age: z.number().nullable().describe('ms'),
        quality: z.enum(qualities),
        assumed: z.string().nullable().describe('what was taken where nothing is measured'),
      }),
    ),
    equation: z.object({ id: z.string(), formula: z.string(), valid: z.string() }),
    source: z.string(),
    until: moment.nullable().describe('then an input becomes too old; null: never'),
  })
  .meta({ id: 'HowComputed' })

export const described = z
  .object({
    quantity: z.string(),
    label: z.string(),
    unit: z.string(),
    inputs: z.array(
      z.object({ name: z.string(), unit: z.string(), optional: z.boolean(), takes: z.string() }),
    ),
  })
  .meta({ id: 'Calculation' })

const shaped = z.union([z.number(), z.array(z.number()), z.string(), z.boolean()])
export const calculated = z
  .object({
    quantity: z.string(),
    value: z.number(),
    unit: z.string(),
    inputs: z.array(
      z.object({
        name: z.string(),
        value: shaped,
        unit: z.string(),
        given: z.boolean().describe('false: left out, and this stands for it'),
      }),
    ),
    equation: z.object({ id: z.string(), formula: z.string() }),
    validity: z.object({ kind: z.literal('inside'), range: z.string() }),
    source: z.string(),
    cautions: z.array(z.string()),
  })
  .meta({ id: 'Calculated' })

export const quantityPath = z.object({ quantity: z.string().min(1).max(120) })
/** Each input by its own name, with its unit: `temperature=20degC`. */
export const inputs = z
  .record(z.string().max(60), z.string().max(400))
  .describe('each input by its name, with its unit: temperature=20 degC')

export type HowComputed = z.infer<typeof howComputed>
