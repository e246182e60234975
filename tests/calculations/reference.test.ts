import { describe, expect, it } from 'vitest'
import { calculate, inUnit } from '../../daemon/calculations/calculate.js'
import { referenceFiles, referenceRows } from './reference-rows.js'

/** Values from memory of a publication carry that word, as the values read in one carry none. */
const howKnown = (provenance: string): string => (provenance === 'from-memory' ? ', from memory' : '')

describe.each(referenceFiles)('printed values: %s', (file) => {
  it.each(
    referenceRows(file).map(
      (row) => [`${row.id}: ${row.source}, ${row.where}${howKnown(row.provenance)}`, row] as const,
    ),
  )('%s', (_, row) => {
    const result = calculate(row.quantity, new Map(Object.entries(row.inputs)))
    const value = inUnit(result, row.unit)
    expect(
      Math.abs(value - row.expected),
      `${value} ${row.unit} against ${row.expected}`,
    ).toBeLessThanOrEqual(row.tolerance)
  })
})

it('covers all 661 printed values', () => {
  expect(referenceFiles.flatMap((file) => referenceRows(file))).toHaveLength(661)
})
