import { z } from 'zod'
import { calculate, inUnit } from '../calculations/calculate.js'
import { Fault } from '../errors.js'
import type { Terminal } from './verb.js'

const given = z.union([
  z.object({ value: z.number(), unit: z.string() }),
  z.number(),
  z.string(),
  z.boolean(),
  z.array(z.number()),
])

/** A row as check values are written: more keys may stand there. */
const row = z.object({
  id: z.union([z.string(), z.number()]).nullish(),
  quantity: z.string(),
  inputs: z.record(z.string(), given).default({}),
  /** The answer is given in this unit; in the catalogue's own when there is none. */
  unit: z.string().nullish(),
})

type Outcome =
  | { readonly id: unknown; readonly value: number; readonly unit: string }
  | { readonly id: unknown; readonly error: string }

/**
 * Computes every row and prints one JSON result a line, in order. A row that cannot be computed gets its error; only
 * a file that is no JSON at all throws (BW_USAGE).
 */
export function calcRows(text: string, terminal: Terminal): 0 {
  for (const one of rowsOf(text)) terminal.out(`${JSON.stringify(outcome(one))}\n`)
  return 0
}

/** A line that is no JSON stays as its text, so that its error comes in its place. */
interface Unreadable {
  readonly unreadable: string
}

function rowsOf(text: string): readonly unknown[] {
  if (!text.trimStart().startsWith('[')) {
    const lines = text.split('\n').map((line, at) => ({ line: line.trim(), at: at + 1 }))
    return lines.filter(({ line }) => line !== '').map(({ line, at }) => parsed(line, `line ${at}`))
  }
  const all = parsed(text, 'the file')
  if (Array.isArray(all)) return all
  throw new Fault(
    'BW_USAGE',
    'the rows are no JSON array',
    'write [ {"id", "quantity", "inputs"}, … ], or one such object a line',
  )
}

function parsed(text: string, where: string): unknown {
  try {
    return JSON.parse(text)
  } catch (cause) {
    const why = cause instanceof Error ? cause.message : String(cause)
    return { unreadable: `${where} is no JSON: ${why}` } satisfies Unreadable
  }
}

function outcome(one: unknown): Outcome {
  const id = typeof one === 'object' && one !== null && 'id' in one ? one.id : null
  if (typeof one === 'object' && one !== null && 'unreadable' in one)
    return { id, error: String(one.unreadable) }
  const read = row.safeParse(one)
  if (!read.success) {
    const [first] = read.error.issues
    return { id, error: `no row: ${first?.path.join('.') ?? ''} ${first?.message ?? ''}`.trim() }
  }
  const { quantity, inputs, unit } = read.data
  try {
    const result = calculate(quantity, new Map(Object.entries(inputs)))
    return { id, value: inUnit(result, unit ?? result.unit), unit: unit ?? result.unit }
  } catch (cause) {
    if (cause instanceof Fault)
      return { id, error: cause.hint === '' ? cause.message : `${cause.message} (${cause.hint})` }
    throw cause
  }
}
