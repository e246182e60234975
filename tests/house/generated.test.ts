import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { generate, generatedFiles } from '../../daemon/cli/generate.js'
import type { Terminal } from '../../daemon/cli/verb.js'
import { jsonSchema, type JsonSchema } from '../../daemon/settings/json-schema.js'

describe('generated files are fresh', () => {
  it.each(generatedFiles.map(({ file, text }) => [file, text] as const))(
    '%s (npm run generate)',
    (file, text) => {
      expect(readFileSync(file, 'utf8') === text()).toBe(true)
    },
  )

  it('and `generate --check` says so', async () => {
    const printed: string[] = []
    const terminal: Terminal = {
      out: (text) => printed.push(text),
      err: (text) => printed.push(text),
      env: {},
      width: 80,
    }
    const options = { config: '', json: false, own: { check: true } }
    expect(await generate.run([], options, terminal)).toBe(0)
    expect(printed).toEqual([])
  })
})

describe('the reference page', () => {
  const page = readFileSync('config/README.md', 'utf8')
  const undocumented: string[] = []
  const keys = new Set<string>()
  const visit = (schema: JsonSchema, path: string): void => {
    for (const [key, child] of Object.entries(schema.properties ?? {})) {
      keys.add(key)
      if (child.description === undefined) undocumented.push(`${path}.${key}`)
      visit(child, `${path}.${key}`)
    }
    for (const child of [schema.items, schema.additionalProperties])
      if (typeof child === 'object') visit(child, `${path}[]`)
    for (const child of [...(schema.anyOf ?? []), ...(schema.oneOf ?? [])]) visit(child, path)
  }
  visit(jsonSchema(), '')

  it('explains every key', () => {
    expect(undocumented).toEqual([])
  })

  it('has every key', () => {
    const missing = [...keys].filter((key) => !page.includes(`\`${key}\``) && !page.includes(`.${key}\``))
    expect(missing).toEqual([])
  })
})
