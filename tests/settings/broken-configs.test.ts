import { readdirSync, readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { planFarm } from '../../daemon/farm/plan-farm.js'
import { explained } from '../../daemon/settings/explain.js'
import type { LocatedProblem } from '../../daemon/settings/problem.js'
import { readSettings } from '../../daemon/settings/read.js'

const folder = 'tests/fixtures/broken-configs'
const files = readdirSync(folder).filter((file) => file.endsWith('.yaml'))

/** What the loader refuses, or else what the plan does. */
function problemsOf(file: string): readonly LocatedProblem[] {
  const read = readSettings(file, {})
  if (read.kind === 'refused') return read.problems
  const planned = planFarm(read.settings)
  return planned.kind === 'refused' ? read.located(planned.problems) : []
}

/** The first line of each file says where it is broken and some words of what is said about it. */
function expectation(file: string): { line: number; words: string } {
  const [, line, words = ''] = /^# line (\d+): ?(.*)\n/.exec(readFileSync(file, 'utf8')) ?? []
  return { line: Number(line), words }
}

describe('a broken configuration is refused with its line and what would be right', () => {
  it('has at least forty examples', () => {
    expect(files.length).toBeGreaterThanOrEqual(40)
  })

  it.each(files)('%s', (name) => {
    const file = `${folder}/${name}`
    const { line, words } = expectation(file)
    const problems = problemsOf(file)
    const said = problems.map(explained)
    expect(
      problems.map((problem) => problem.line),
      said.join('\n'),
    ).toContain(line)
    expect(said.filter((text) => text.startsWith(`${file}:${line}:`)).join('\n')).toContain(words)
    // One mistake, one problem: nothing that merely follows from it.
    expect(said).toHaveLength(1)
    expect(problems[0]?.right).not.toBe('')
  })

  it('never quotes the passwords in them', () => {
    const said = files.flatMap((name) => problemsOf(`${folder}/${name}`).map(explained)).join('\n')
    expect(said).not.toMatch(/hunter2|me:word/)
  })
})
