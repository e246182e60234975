/** Where something stands in the configuration, from the root: `['probes', 2, 'every']`. */
export type Path = readonly (string | number)[]

/** One thing that is wrong, and what would be right. Neither text ever holds a secret. */
export interface Problem {
  readonly path: Path
  readonly wrong: string
  readonly right: string
}

/** A problem with its place in the file. Lines and columns count from 1. */
export interface LocatedProblem extends Problem {
  readonly file: string
  readonly line: number
  readonly column: number
  /** What stands there, as JSON; null when nothing does, when it is long, or when it could be a secret. */
  readonly found: string | null
}

/** `probes[2].every` */
export const shownPath = (path: Path): string =>
  path.reduce<string>(
    (text, part) => (typeof part === 'number' ? `${text}[${part}]` : text === '' ? part : `${text}.${part}`),
    '',
  )

/** What stands at `path` in plain data; undefined when nothing does. */
export function valueAt(data: unknown, path: Path): unknown {
  return path.reduce<unknown>((value, part) => {
    if (typeof value !== 'object' || value === null || !Object.hasOwn(value, part)) return undefined
    return (value as Record<string | number, unknown>)[part]
  }, data)
}
