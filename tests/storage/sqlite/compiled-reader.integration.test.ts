import { execFileSync } from 'node:child_process'
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { dirname, join, relative } from 'node:path'
import { fileURLToPath, pathToFileURL } from 'node:url'
import ts from 'typescript'
import { expect, it } from 'vitest'
import { openStore } from '../../../daemon/storage/sqlite/open-store.js'
import { batch, reading } from '../../contracts/example-batch.js'
import { FakeClock } from '../../support/fake-clock.js'
import { temporaryFolders } from '../temporary-folder.js'

const newFolder = temporaryFolders()
const root = fileURLToPath(new URL('../../../', import.meta.url))

/** Compiles the rooms that the reading thread needs, as a build does, to a folder from which packages are found. */
function compiled(): string {
  const artefacts = join(root, 'tests', 'artefacts')
  mkdirSync(artefacts, { recursive: true })
  const target = mkdtempSync(join(artefacts, 'compiled-'))
  const compilerOptions = {
    module: ts.ModuleKind.ESNext,
    target: ts.ScriptTarget.ES2023,
    verbatimModuleSyntax: true,
  }
  const sources = ['errors.ts', 'storage', 'units/time.ts', 'readings', 'ports'].flatMap((part) =>
    filesOf(join(root, 'daemon', part)),
  )
  for (const source of sources) {
    const file = join(target, relative(root, source)).replace(/\.ts$/, '.js')
    mkdirSync(dirname(file), { recursive: true })
    writeFileSync(file, ts.transpileModule(readFileSync(source, 'utf8'), { compilerOptions }).outputText)
  }
  return target
}

function filesOf(path: string): string[] {
  if (path.endsWith('.ts')) return [path]
  return readdirSync(path, { withFileTypes: true }).flatMap((entry) => filesOf(join(path, entry.name)))
}

it('the reading thread runs from compiled files, in a plain Node that knows no TypeScript', () => {
  const store = openStore({ folder: newFolder(), clock: new FakeClock() })
  store.recorder.commit(batch({ readings: [reading(5, { value: 3.5 })] }))
  const target = compiled()
  try {
    const program = `
      const { openHistory } = await import(${JSON.stringify(pathToFileURL(join(target, 'daemon/storage/sqlite/reader-thread.js')).href)})
      const history = openHistory(${JSON.stringify(store.file)})
      console.log(JSON.stringify(await history.samples('tank-1/dissolved_oxygen', 0, 10, 10)))
      await history.close()`
    const said = execFileSync(process.execPath, ['--input-type=module', '--eval', program], {
      encoding: 'utf8',
    })
    expect(JSON.parse(said)).toEqual([{ at: 5, value: 3.5, quality: 'good' }])
  } finally {
    rmSync(target, { recursive: true, force: true })
    store.close()
  }
})
