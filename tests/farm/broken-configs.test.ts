import { readdirSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { fixture, problemsOf } from './plan-of.js'

const folder = 'broken-configs/only-the-plan/'
const files = readdirSync(new URL(`../fixtures/${folder}`, import.meta.url))

/** The mistakes that a file says it has: line and words, as written behind `# wrong:`. */
const announced = (yaml: string): readonly string[] =>
  yaml.split('\n').flatMap((line, index) => {
    const wrong = /# wrong: (.*)$/.exec(line)?.[1]
    return wrong === undefined || line.startsWith('#') ? [] : [`${index + 1}: ${wrong}`]
  })

describe('what only the plan can find wrong is told with its line', () => {
  it.each(files)('%s', (file) => {
    const yaml = fixture(`${folder}${file}`)
    const found = problemsOf(yaml).map(({ line, wrong }) => `${line}: ${wrong}`)
    expect(found).toEqual(announced(yaml))
    expect(found.length).toBeGreaterThan(5)
  })

  it('says what would be right', () => {
    const right = new Map(
      files.flatMap((file) => problemsOf(fixture(`${folder}${file}`)).map((one) => [one.wrong, one.right])),
    )
    expect(right.get('there is no place or equipment "tnak-1"')).toBe('did you mean tank-1?')
    expect(right.get('no place or equipment fits "tnak-*"')).toBe('did you mean tank-1?')
    expect(right.get('there is no quantity "disolved_oxygen"')).toBe('did you mean dissolved_oxygen?')
    expect(right.get('there is no alarm ph-lo at tank-1')).toBe('did you mean ph-low?')
    expect(right.get('"nile_tilapa" is no species that is known here')).toContain(
      'did you mean nile_tilapia?',
    )
    for (const words of right.values()) expect(words).not.toBe('')
  })

  it('points at the key, not only at the line', () => {
    const [first] = problemsOf(fixture(`${folder}alarms.yaml`))
    expect(first).toMatchObject({ line: 14, column: 5, path: ['alarms', 0, 'signal'] })
  })
})
