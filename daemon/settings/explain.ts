import { Fault } from '../errors.js'
import { shownPath, type LocatedProblem } from './problem.js'

/** `config/x.yaml:12:7 probes[2].every: a bare number … (found 30); write for example 30 s` */
export function explained({ file, line, column, path, wrong, right, found }: LocatedProblem): string {
  const where = path.length === 0 ? '' : ` ${shownPath(path)}:`
  // Quoted already, the value need not be told again.
  const value = found === null || wrong.includes(found) ? '' : ` (found ${found})`
  return `${file}:${line}:${column}${where} ${wrong}${value}${right === '' ? '' : `; ${right}`}`
}

/** One line a problem. */
export const explainedAll = (problems: readonly LocatedProblem[]): string =>
  problems.map(explained).join('\n')

/** The refusal as a Fault, for those who cannot go on without a configuration. */
export function refusal(problems: readonly LocatedProblem[]): Fault {
  const count = problems.length === 1 ? 'one problem' : `${problems.length} problems`
  return new Fault('BW_CONFIG', explainedAll(problems), `${count}: nothing was changed or started`)
}
