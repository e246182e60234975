import fc from 'fast-check'
import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { parse, stringify } from 'yaml'
import { settingsSchema } from '../../daemon/settings/schema.js'
import { load } from './loading.js'

const example: unknown = parse(readFileSync('config/bellwater.yaml', 'utf8'))
const anything = fc.oneof(
  fc.constantFrom(null, true, 0, -1, 1e9, '', '30 s', '1 mg/L', '${X}', 'off', [], {}, [null], [[]], {
    id: null,
  }),
  fc.string({ maxLength: 12 }),
  fc.jsonValue({ maxDepth: 2 }) as fc.Arbitrary<unknown>,
)

/** Every place in the example, as a path. */
function pathsOf(value: unknown, path: readonly (string | number)[] = []): (readonly (string | number)[])[] {
  if (typeof value !== 'object' || value === null) return [path]
  return [
    path,
    ...Object.entries(value).flatMap(([key, part]) =>
      pathsOf(part, [...path, Array.isArray(value) ? Number(key) : key]),
    ),
  ]
}

function replaced(value: unknown, [key, ...rest]: readonly (string | number)[], by: unknown): unknown {
  if (key === undefined) return by
  if (Array.isArray(value))
    return value.map((item: unknown, index) => (index === key ? replaced(item, rest, by) : item))
  return { ...(value as object), [key]: replaced((value as Record<string, unknown>)[key], rest, by) }
}

describe('loading', () => {
  it('answers whatever the text is, with a line of the file', () => {
    fc.assert(
      fc.property(
        fc.string({ unit: fc.constantFrom(...'ab:- {}[]"\'\n\t&*!#|>%@,'), maxLength: 60 }),
        (text) => {
          const read = load(text)
          expect(read.kind).toBe('refused')
          const lines = text.split('\n').length
          if (read.kind === 'refused')
            expect(read.problems.every(({ line }) => line >= 1 && line <= lines + 1)).toBe(true)
        },
      ),
      { numRuns: 500 },
    )
  })

  it('answers whatever stands in one place of a good configuration', () => {
    fc.assert(
      fc.property(fc.constantFrom(...pathsOf(example)), anything, (path, by) => {
        const read = load(stringify(replaced(example, path, by)), { env: { X: 'x' } })
        if (read.kind === 'loaded') return
        expect(read.problems.length).toBeGreaterThan(0)
        for (const { wrong, line } of read.problems) {
          expect(wrong).not.toBe('')
          expect(line).toBeGreaterThan(0)
        }
      }),
      { numRuns: 100 },
    )
  })

  it('answers whatever a section is', () => {
    fc.assert(
      fc.property(fc.constantFrom(...Object.keys(settingsSchema.shape)), anything, (section, by) => {
        expect(['loaded', 'refused']).toContain(load(stringify({ farm: { name: 'F' }, [section]: by })).kind)
      }),
      { numRuns: 300 },
    )
  })
})
