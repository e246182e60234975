import { Secret, secretShown } from '../secret.js'
import type { Loaded } from './load.js'
import { shownPath, valueAt, type Path } from './problem.js'

/** One value that two configurations do not share. `null`: it is not there. */
export interface Difference {
  /** `alarms.oxygen-low.below`: entries of lists go by their names, so that a new one above moves nothing. */
  readonly path: string
  readonly old: string | null
  readonly new: string | null
}

/** A configuration and what its file says. */
type Read = Pick<Loaded, 'settings' | 'written'>

/**
 * What changes from one configuration to another, for the journal (AL-28, AL-46), each value as it was written, defaults as
 * `default`. Secrets, and what may hold one, are compared and shown as `(secret)`.
 */
export function differences(before: Read, now: Read): readonly Difference[] {
  const old = leaves(before)
  const fresh = leaves(now)
  const paths = [...old.keys(), ...[...fresh.keys()].filter((path) => !old.has(path))]
  return paths.flatMap((path): Difference[] => {
    const [a, b] = [old.get(path), fresh.get(path)]
    if (a !== undefined && b !== undefined && same(a.value, b.value)) return []
    return [{ path, old: a?.shown ?? null, new: b?.shown ?? null }]
  })
}

interface Leaf {
  readonly value: unknown
  readonly shown: string
}

const same = (a: unknown, b: unknown): boolean =>
  a instanceof Secret && b instanceof Secret ? a.equals(b) : JSON.stringify(a) === JSON.stringify(b)

/** Every single value with its path by names. A measure is one value. */
function leaves({ settings, written }: Read): ReadonlyMap<string, Leaf> {
  const found = new Map<string, Leaf>()
  const visit = (value: unknown, path: Path, named: Path): void => {
    if (value === undefined) return
    const text: unknown = valueAt(written, path)
    const inFile = typeof text === 'string' || typeof text === 'number' || typeof text === 'boolean'
    if (typeof value !== 'object' || value === null || value instanceof Secret || inFile) {
      const shown = value instanceof Secret ? secretShown : inFile ? String(text) : 'default'
      found.set(shownPath(named), { value, shown })
      return
    }
    const listed = Array.isArray(value)
    for (const [key, part] of Object.entries(value)) {
      const step = listed ? Number(key) : key
      visit(part, [...path, step], [...named, (listed ? nameOf(part) : null) ?? step])
    }
  }
  visit(settings, [], [])
  return found
}

/** What an entry of a list is called. */
function nameOf(part: unknown): string | null {
  if (typeof part !== 'object' || part === null || part instanceof Secret) return null
  for (const key of ['id', 'signal', 'topic']) {
    const name: unknown = (part as Record<string, unknown>)[key]
    if (typeof name === 'string') return name
  }
  return null
}
