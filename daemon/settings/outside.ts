import { Secret, secretKeys } from '../secret.js'
import type { Path, Problem } from './problem.js'

/** Where values that do not stand in the configuration come from. */
export interface Outside {
  readonly env: Readonly<Record<string, string | undefined>>
  /** Content of a file that the configuration names. Throws when it cannot be read. */
  readonly readFile: (name: string) => string
}

/** The configuration with everything from outside filled in. */
export interface Filled {
  readonly data: unknown
  readonly problems: readonly Problem[]
  /** Which variables a value was made with. Such a value may be a secret and is never shown. */
  readonly variablesAt: (path: Path) => readonly string[]
}

const variable = /\$(\$?)\{([^}]*)\}/g
const variableName = /^[A-Za-z_][A-Za-z0-9_]*$/

/** One pass over a configuration: what it draws on and what it finds. */
interface Filling extends Outside {
  readonly problems: Problem[]
  readonly used: Map<string, readonly string[]>
}

/**
 * Fills in `${NAME}` (in any string; `$${NAME}` stands for itself) and reads the files that `…_file` keys name. What
 * is under a secret key, or came out of a file, becomes a Secret. Missing variables and files are problems that name
 * them, never their content.
 */
export function fillIn(data: unknown, outside: Outside): Filled {
  const filling: Filling = { ...outside, problems: [], used: new Map() }
  const filled = filledIn(data, [], filling)
  return {
    data: filled,
    problems: filling.problems,
    // Above it as well: `who: ${NAME}` becomes a list of one.
    variablesAt: (path) =>
      [path, ...path.map((_, depth) => path.slice(0, depth))].flatMap(
        (part) => filling.used.get(JSON.stringify(part)) ?? [],
      ),
  }
}

function filledIn(value: unknown, path: Path, filling: Filling): unknown {
  if (Array.isArray(value)) return value.map((item, index) => filledIn(item, [...path, index], filling))
  if (typeof value === 'object' && value !== null) {
    return Object.fromEntries(
      Object.entries(value).map(([key, item]) => [key, filledIn(item, [...path, key], filling)]),
    )
  }
  const key = path.at(-1)
  if (typeof key === 'string' && isScalar(value)) {
    if (secretKeys.includes(key)) return secretValue(value, path, filling)
    if (key.endsWith('_file') && typeof value === 'string') return fileContent(value, path, filling)
  }
  return typeof value === 'string' ? substituted(value, path, filling) : value
}

function substituted(text: string, path: Path, { env, problems, used }: Filling): string {
  const names: string[] = []
  const result = text.replace(variable, (whole, escaped: string, name: string) => {
    if (escaped !== '') return whole.slice(1)
    names.push(name)
    if (!variableName.test(name)) {
      const wrong = 'a variable has a name of letters, digits and _'
      problems.push({ path, wrong, right: 'write for example ${MQTT_PASSWORD}' })
    } else if (env[name] === undefined) {
      problems.push({
        path,
        wrong: `the environment variable ${name} is not set`,
        right: 'set it before the start',
      })
    }
    return env[name] ?? ''
  })
  if (names.length > 0) used.set(JSON.stringify(path), names)
  return result
}

/** Stands in for a secret that is missing: the problem is told, and nothing else about it needs to be. */
const missing = new Secret('')

function fileContent(name: string, path: Path, filling: Filling): Secret {
  try {
    const content = filling.readFile(substituted(name, path, filling)).replace(/\r?\n$/, '')
    if (content !== '') return new Secret(content)
    filling.problems.push({ path, wrong: `the file ${name} is empty`, right: 'write the secret into it' })
  } catch {
    // Whatever the reason, the keeper has to look at the file; the system's own words could repeat more than its name.
    const right = 'correct its name (relative to the configuration), or its permissions'
    filling.problems.push({ path, wrong: `the file ${name} cannot be read`, right })
  }
  return missing
}

function secretValue(value: string | number | boolean, path: Path, filling: Filling): Secret {
  const text = String(value)
  if (text.includes('${')) return new Secret(substituted(text, path, filling))
  const right = `name a file by ${String(path.at(-1))}_file, or write \${NAME} for a variable of the environment`
  filling.problems.push({ path, wrong: 'a secret may not be written out', right })
  return missing
}

const isScalar = (value: unknown): value is string | number | boolean =>
  typeof value === 'string' || typeof value === 'number' || typeof value === 'boolean'
