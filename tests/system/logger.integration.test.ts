import { spawnSync } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import { expect, it } from 'vitest'

it('the last line before an end is not lost, and standard output stays clean', () => {
  const child = fileURLToPath(new URL('./children/last-words.ts', import.meta.url))
  const ended = spawnSync(process.execPath, ['--import', import.meta.resolve('tsx'), child], {
    encoding: 'utf8',
  })
  expect(ended.stdout).toBe('')
  expect(ended.status).toBe(3)
  const last = ended.stderr.trimEnd().split('\n').at(-1) ?? ''
  expect(JSON.parse(last)).toMatchObject({ level: 'error', line: 500, msg: 'going down' })
})
