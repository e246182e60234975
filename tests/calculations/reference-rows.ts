import { readFileSync } from 'node:fs'
import { z } from 'zod'

const given = z.union([
  z.object({ value: z.number(), unit: z.string() }),
  z.number(),
  z.string(),
  z.boolean(),
  z.array(z.number()),
])

/** A printed value with where it is printed; `tolerance` is absolute, in `unit`. */
const row = z.object({
  id: z.string(),
  quantity: z.string(),
  inputs: z.record(z.string(), given),
  expected: z.number(),
  unit: z.string(),
  tolerance: z.number(),
  source: z.string(),
  where: z.string(),
  provenance: z.string(),
})
export type ReferenceRow = z.infer<typeof row>

export const referenceFiles = [
  'oxygen-saturation',
  'ammonia',
  'ammonia-criteria',
  'carbon-dioxide',
  'nitrification',
  'oxygen-demand',
  'species',
  'nitrite-chloride',
  'plants-air',
  'heat',
  'atmosphere',
] as const

export const referencePath = (file: string): string =>
  new URL(`../fixtures/reference/${file}.json`, import.meta.url).pathname

export const referenceRows = (file: string): readonly ReferenceRow[] =>
  z.array(row).parse(JSON.parse(readFileSync(referencePath(file), 'utf8')))
