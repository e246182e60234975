import { readFileSync, writeFileSync } from 'node:fs'
import { jsonSchemaText } from '../settings/json-schema.js'
import { referencePage } from '../settings/reference-page.js'
import type { Verb } from './verb.js'

/** Files that are made from the source; a test holds them fresh. */
export const generatedFiles: readonly { readonly file: string; readonly text: () => string }[] = [
  { file: 'config/bellwater.schema.json', text: jsonSchemaText },
  { file: 'config/README.md', text: referencePage },
]

export const generate: Verb = {
  name: 'generate',
  usage: '',
  summary:
    'write the files that are made from the source: JSON Schema and reference page of the configuration',
  example: 'bellwater generate --check',
  options: (command) => {
    command.option('--check', 'change nothing; exit 1 when a file is stale', false)
  },
  run: async (_, options, terminal) => {
    const stale = generatedFiles.filter(({ file, text }) => contentOf(file) !== text())
    const check = options.own['check'] === true
    for (const { file, text } of check ? [] : stale) writeFileSync(file, text())
    const names = stale.map(({ file }) => file)
    if (options.json) terminal.out(`${JSON.stringify({ stale: names, written: check ? [] : names })}\n`)
    else
      for (const name of names)
        terminal.out(`${name} ${check ? 'is stale: run npm run generate' : 'written'}\n`)
    return check && stale.length > 0 ? 1 : 0
  },
}

function contentOf(file: string): string | null {
  try {
    return readFileSync(file, 'utf8')
  } catch {
    // Not there yet: as stale as can be.
    return null
  }
}
