import { z } from 'zod'
import { didYouMean, nearestName } from '../units/nearest-name.js'
import { shownPath, valueAt, type Path, type Problem } from './problem.js'
import { keysAt, schemasAt } from './shape.js'

type Issue = z.core.$ZodIssue

/** What was checked against what. */
interface Checked {
  readonly schema: z.core.$ZodType
  readonly data: unknown
}

/** Turns what zod found into problems that say what would be right. zod's own texts are not used. */
export const problemsFrom = (issues: readonly Issue[], checked: Checked): readonly Problem[] =>
  allFrom(issues, [], checked)

function allFrom(issues: readonly Issue[], above: Path, checked: Checked): readonly Problem[] {
  const problems = issues.flatMap((issue) => problemsOf(issue, [...above, ...(issue.path as Path)], checked))
  // A mistyped key is one mistake: that the right one is missing follows from it.
  const meant = new Set(problems.flatMap((problem) => meantBy(problem, checked)))
  return problems.filter(({ path, wrong }) => wrong !== isMissing || !meant.has(shownPath(path)))
}

function meantBy({ path, wrong }: Problem, { schema, data }: Checked): readonly string[] {
  if (wrong !== unknownKey) return []
  const parent = path.slice(0, -1)
  const nearest = nearestName(String(path.at(-1)), keysAt(schema, parent, data))
  return nearest === null ? [] : [shownPath([...parent, nearest])]
}

export const unknownKey = 'unknown key'
const isMissing = 'is missing'
const notAWord = 'is not one of the words for it'

function problemsOf(issue: Issue, path: Path, checked: Checked): readonly Problem[] {
  const missing = path.length > 0 && valueAt(checked.data, path) === undefined
  if (missing && issue.code !== 'unrecognized_keys') return [{ path, ...absent(path, checked) }]
  switch (issue.code) {
    case 'custom': {
      const right: unknown = issue.params?.['right']
      return [{ path, wrong: issue.message, right: typeof right === 'string' ? right : '' }]
    }
    case 'unrecognized_keys':
      return issue.keys.map((key) => {
        const known = keysAt(checked.schema, path, checked.data)
        return { path: [...path, key], wrong: unknownKey, right: didYouMean(key, known) }
      })
    case 'invalid_union':
      return fromUnion(issue, path, checked)
    case 'invalid_key':
      return issue.issues.flatMap((nested) => problemsOf(nested, path, checked))
    case 'invalid_type':
      return [
        {
          path,
          wrong: due(issue.expected),
          right: exampleAt(path, checked) || (forms[issue.expected] ?? ''),
        },
      ]
    case 'invalid_value':
      return [{ path, wrong: notAWord, right: choice(issue.values, valueAt(checked.data, path)) }]
    case 'too_small':
    case 'too_big':
      return [{ path, wrong: bound(issue), right: exampleAt(path, checked) || within(issue) }]
    case 'invalid_format':
    case 'not_multiple_of':
    case 'invalid_element':
      return [{ path, wrong: 'is not in the right form', right: exampleAt(path, checked) }]
  }
}

const kinds: Readonly<Record<string, string>> = {
  string: 'text',
  number: 'a number',
  int: 'a whole number',
  boolean: 'true or false',
  object: 'a mapping (key: value)',
  record: 'a mapping (name: …)',
  array: 'a list',
  tuple: 'a list of two',
}

/** What to do where there is no example. */
const forms: Readonly<Record<string, string>> = {
  number: 'write a number',
  int: 'write a number without decimals',
  boolean: 'write true or false',
  object: 'write keys below it, each with a colon, a space and its value',
  record: 'write names below it, each with a colon, a space and what it stands for',
  array: 'write - before each entry',
}

/**
 * A value may be written in several ways: the way that was meant is the one that gets furthest. Ways that fail on the
 * value itself lose against those that fail inside it; if all do, what each would accept is said.
 */
function fromUnion(
  issue: Extract<Issue, { code: 'invalid_union' }>,
  path: Path,
  checked: Checked,
): readonly Problem[] {
  if (issue.errors.length === 0) {
    const at = path.at(-1) === 'kind' ? path : [...path, 'kind']
    // Without the data, every kind of mapping is looked at.
    const known = schemasAt(checked.schema, at, undefined).flatMap(valuesOf)
    return [{ path: at, wrong: 'is not one of the kinds', right: choice(known, valueAt(checked.data, at)) }]
  }
  const ways = issue.errors.map((issues) => allFrom(issues, path, checked))
  const inside = ways.filter((way) => way.every((problem) => problem.path.length > path.length))
  const best = [...inside].sort((a, b) => a.length - b.length)[0]
  if (best !== undefined) return best
  const own = ways.flat().filter((problem) => problem.path.length === path.length)
  // That a list or mapping would do as well is worth a word, but is seldom what was meant.
  const scalar = own.filter(({ wrong }) => wrong !== due('array') && wrong !== due('object'))
  const likely = scalar.length > 0 ? scalar : own
  const first = likely.find(({ wrong }) => wrong !== notAWord) ?? likely[0]
  if (first === undefined) return []
  const rights = new Set(likely.map(({ right }) => right).filter((right) => right !== ''))
  return [{ path, wrong: first.wrong, right: [...rights].join(', or ') }]
}

const due = (expected: string): string => `${kinds[expected] ?? 'another kind of value'} is due`

/** The words that a schema allows; none when it is no list of words. */
function valuesOf(schema: z.core.$ZodType): readonly unknown[] {
  const { def } = (schema as z.core.$ZodTypes)._zod
  if (def.type === 'literal') return def.values
  return def.type === 'enum' ? Object.values(def.entries) : []
}

function absent(path: Path, checked: Checked): { wrong: string; right: string } {
  const example = exampleOf(path, checked)
  const key = String(path.at(-1))
  return {
    wrong: 'is missing',
    right: example === null ? `add ${key}` : `add for example ${key}: ${example}`,
  }
}

function choice(values: readonly unknown[], found: unknown): string {
  const words = values.map(String)
  return words.length === 1
    ? `write ${words[0] ?? ''}`
    : typeof found === 'string'
      ? didYouMean(found, words)
      : `write one of ${words.join(', ')}`
}

function bound(issue: Extract<Issue, { code: 'too_small' | 'too_big' }>): string {
  const small = issue.code === 'too_small'
  const end = Number(small ? issue.minimum : issue.maximum)
  if (issue.origin === 'array' || issue.origin === 'set')
    return small ? `needs at least ${end} entry` : `may have ${end} entries at most`
  if (issue.origin === 'string')
    return small && end === 1
      ? 'may not be empty'
      : `may have ${end} characters at ${small ? 'least' : 'most'}`
  const open = issue.inclusive === false
  return small
    ? `must be ${open ? 'more than' : 'at least'} ${end}`
    : `must be ${open ? 'less than' : 'at most'} ${end}`
}

function within(issue: Extract<Issue, { code: 'too_small' | 'too_big' }>): string {
  if (issue.origin === 'array') return issue.code === 'too_small' ? 'add an entry' : 'leave some out'
  return issue.origin === 'string'
    ? 'write another text'
    : `write a number that ${bound(issue).replace('must be', 'is')}`
}

const exampleAt = (path: Path, checked: Checked): string => {
  const example = exampleOf(path, checked)
  return example === null ? '' : `write for example ${example}`
}

function exampleOf(path: Path, checked: Checked): string | null {
  for (const schema of schemasAt(checked.schema, path, checked.data)) {
    const examples = z.globalRegistry.get(schema)?.['examples']
    if (Array.isArray(examples) && examples.length > 0) return String(examples[0])
    const values = valuesOf(schema)
    if (values.length > 0) return String(values[0])
  }
  return null
}
