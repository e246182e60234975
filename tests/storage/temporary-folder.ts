import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach } from 'vitest'

/** A fresh folder for each call, gone after the test. */
export function temporaryFolders(): () => string {
  const made: string[] = []
  afterEach(() => {
    for (const folder of made.splice(0)) rmSync(folder, { recursive: true, force: true })
  })
  return () => {
    const folder = mkdtempSync(join(tmpdir(), 'bellwater-store-'))
    made.push(folder)
    return folder
  }
}
