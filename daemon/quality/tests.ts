import type { ReadingTests } from '../farm/plan.js'
import type { Point } from './signal-memory.js'

/** QARTOD flags (UNESCO 2013): 1 pass, 2 not evaluated, 3 suspect, 4 fail, 9 missing. */
export type Flag = 1 | 2 | 3 | 4 | 9

export interface Finding {
  readonly test: 'gross range' | 'user range' | 'spike' | 'rate of change' | 'flat line'
  readonly flag: Flag
  readonly says: string
}

/**
 * The tests that a keeper may ask for, after QARTOD (U.S. IOOS manuals as summarised in alarm-standards 3.2), in the
 * order of AL-18. `earlier` are the last usable points, oldest first; the gross range has been passed before.
 */
export function runTests(
  tests: ReadingTests,
  value: number,
  at: number,
  earlier: readonly Point[],
): Finding[] {
  const findings: Finding[] = []
  const add = (test: Finding['test'], flag: Flag, says: string) => {
    if (flag !== 1) findings.push({ test, flag, says })
  }
  if (tests.userRange !== null) {
    const [low, high] = tests.userRange
    add('user range', value < low || value > high ? 3 : 1, `outside the usual ${low} to ${high}`)
  }
  if (tests.spike !== null)
    add('spike', spike(tests.spike, value, earlier), 'stands out from the readings beside it')
  if (tests.rate !== null)
    add('rate of change', rate(tests.rate, value, at, earlier), `changes faster than ${tests.rate} a minute`)
  if (tests.flatLine !== null) {
    add('flat line', flatLine(tests.flatLine, value, earlier), 'has not moved at all')
  }
  return findings
}

/**
 * QARTOD test 6 looks at the middle of three points, so its verdict comes one sample late. What can be said of the
 * newest point is how far it stands from its two neighbours before; a missing neighbour gives 2.
 */
function spike(limits: { suspect: number; fail: number }, value: number, earlier: readonly Point[]): Flag {
  const last = earlier.at(-1)
  const before = earlier.at(-2)
  if (last === undefined || before === undefined) return 2
  const away = Math.abs(value - (last.value + before.value) / 2)
  return away > limits.fail ? 4 : away > limits.suspect ? 3 : 1
}

function rate(perMinute: number, value: number, at: number, earlier: readonly Point[]): Flag {
  const last = earlier.at(-1)
  if (last === undefined || at <= last.at) return 2
  return Math.abs(value - last.value) / ((at - last.at) / 60_000) > perMinute ? 3 : 1
}

/** QARTOD test 8: the newest so many values equal within a tolerance; the newest counts (alarm-standards 7). */
function flatLine(
  limits: { suspect: number; fail: number; within: number },
  value: number,
  earlier: readonly Point[],
): Flag {
  let equal = 1
  for (let index = earlier.length - 1; index >= 0; index -= 1) {
    const point = earlier[index]
    if (point === undefined || Math.abs(point.value - value) > limits.within) break
    equal += 1
  }
  return equal >= limits.fail ? 4 : equal >= limits.suspect ? 3 : 1
}
