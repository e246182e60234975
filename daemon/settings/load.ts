import { frozen } from './freeze.js'
import { problemsFrom, unknownKey } from './from-issues.js'
import { fillIn, type Filled, type Outside } from './outside.js'
import type { LocatedProblem, Path, Problem } from './problem.js'
import { shownPath, valueAt } from './problem.js'
import { referenceProblems, type Sections } from './references.js'
import { settingsSchema, type Settings } from './schema.js'
import { secretKeys } from '../secret.js'
import { parseYaml, type Place } from './syntax.js'

/** A configuration as text, and where what it names comes from. */
export interface Source extends Outside {
  readonly text: string
  /** Name of the file, for messages. */
  readonly file: string
}

/** A configuration that may be used. */
export interface Loaded {
  readonly kind: 'loaded'
  /** Frozen, through and through. */
  readonly settings: Settings
  /** What the file says, before anything from outside was filled in: for showing differences as they were written. */
  readonly written: unknown
  readonly locate: (path: Path) => Place
  /** Puts places to problems that were found later, when the farm was planned. */
  readonly located: (problems: readonly Problem[]) => readonly LocatedProblem[]
}

/** A configuration that may not be used, with all that is wrong with it, in the order of the file. */
export interface Refused {
  readonly kind: 'refused'
  readonly problems: readonly LocatedProblem[]
}

/**
 * Reads, fills in, checks and freezes a configuration. Whole or not at all: with one problem nothing is loaded, and all
 * problems are told at once (those of YAML itself first, since what follows cannot be read then).
 */
export function loadSettings(source: Source): Loaded | Refused {
  const parsed = parseYaml(source.text)
  if (parsed.kind === 'broken') {
    const problems = parsed.faults.map((fault) => ({ ...fault, path: [], file: source.file, found: null }))
    return { kind: 'refused', problems: inOrder(problems) }
  }
  const { data: written, placeOf } = parsed
  const filled = fillIn(withoutEmptySections(written ?? {}), source)
  const located = (problems: readonly Problem[]): readonly LocatedProblem[] =>
    inOrder(
      problems.map((problem) => ({
        ...withoutValues(problem, filled),
        ...placeOf(problem.path),
        file: source.file,
        found: shown(written, problem),
      })),
    )

  const checked = settingsSchema.safeParse(filled.data)
  const sections = checked.success ? checked.data : sectionsOf(filled.data)
  const outside = new Set(filled.problems.map(({ path }) => shownPath(path)))
  const problems = [
    ...filled.problems,
    // A value whose variable or file is missing has been told already.
    ...(checked.success
      ? []
      : problemsFrom(checked.error.issues, { schema: settingsSchema, data: filled.data }).filter(
          ({ path }) => !outside.has(shownPath(path)),
        )),
    ...referenceProblems(sections),
  ]
  if (!checked.success || problems.length > 0) return { kind: 'refused', problems: located(problems) }
  return { kind: 'loaded', settings: frozen(checked.data), written, locate: placeOf, located }
}

/** A section whose entries are all commented out (`alarms:` and nothing below) says nothing. */
const withoutEmptySections = (data: unknown): unknown =>
  typeof data !== 'object' || data === null || Array.isArray(data)
    ? data
    : Object.fromEntries(Object.entries(data).filter(([, section]) => section !== null))

/** Each section by itself, so that a mistake in one does not hide those in others. */
function sectionsOf(data: unknown): Sections {
  const parts = Object.entries(settingsSchema.shape).map(([key, section]) => {
    const part = section.safeParse(valueAt(data, [key]))
    return [key, part.success ? part.data : undefined] as const
  })
  // Keys and values come in pairs from the schema itself.
  return Object.fromEntries(parts) as Sections
}

/** What came out of a variable may be a secret, and messages like to quote: it is said by name only. */
function withoutValues(problem: Problem, filled: Filled): Problem {
  const names = filled.variablesAt(problem.path)
  if (names.length === 0 || filled.problems.includes(problem)) return problem
  return { ...problem, wrong: `what ${names.join(' and ')} holds does not fit here` }
}

/** Longer than this, a value tells less than its place does. */
const shownMax = 60
const hiddenKeys = new Set([...secretKeys, 'headers', 'body', 'url'])

function shown(written: unknown, { path, wrong }: Problem): string | null {
  const value = valueAt(written, path)
  // `passwd: …` is unknown, and still nobody's business.
  if (wrong === unknownKey) return null
  if (value === undefined || value === null || typeof value === 'object') return null
  if (path.some((part) => typeof part === 'string' && hiddenKeys.has(part))) return null
  const text = JSON.stringify(value)
  return text.length > shownMax || text.includes('@') ? null : text
}

const inOrder = (problems: readonly LocatedProblem[]): readonly LocatedProblem[] =>
  [...problems].sort((a, b) => a.line - b.line || a.column - b.column)
