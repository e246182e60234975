import { Fault } from '../errors.js'

/** Where something stands in the configuration, from the root: `['alarms', 2, 'below']`. */
export type Path = readonly (string | number)[]

/** Takes down what is wrong at a place of the configuration and what would be right. Everything is told, not the first only. */
export type Report = (path: Path, wrong: string, right: string) => void

/** What planning tells besides: true of the farm, no mistake. */
export type Remark = (text: string) => void

/** The value that `read` gives; null and a report when it throws a Fault (a unit that does not fit). */
export function reported<Value>(report: Report, path: Path, read: () => Value): Value | null {
  try {
    return read()
  } catch (cause) {
    if (!(cause instanceof Fault)) throw cause
    report(path, cause.message, cause.hint)
    return null
  }
}
