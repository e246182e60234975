import { existsSync, symlinkSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { backUp } from '../../../daemon/storage/sqlite/copy-store.js'
import { openStore } from '../../../daemon/storage/sqlite/open-store.js'
import { batch, reading } from '../../contracts/example-batch.js'
import { FakeClock } from '../../support/fake-clock.js'
import { temporaryFolders } from '../temporary-folder.js'

const newFolder = temporaryFolders()

function running() {
  const store = openStore({ folder: newFolder(), clock: new FakeClock() })
  store.recorder.commit(batch({ readings: [reading(5, { reasons: ['flat'] })] }))
  return store
}

describe('a backup', () => {
  it('is made while the daemon runs, holds all that was committed, and opens as a store of its own', () => {
    const store = running()
    const folder = newFolder()
    backUp(store.file, join(folder, 'bellwater.db'))
    store.recorder.commit(batch({ readings: [reading(6)] }))
    store.close()
    const restored = openStore({ folder, clock: new FakeClock() })
    expect(restored.recorder.restore().newest).toEqual([reading(5, { reasons: ['flat'] })])
    expect(restored.recorder.restore().lastCommit).toBe(new FakeClock().now())
    restored.close()
  })

  it('takes the place of an older one', () => {
    const store = running()
    const folder = newFolder()
    const target = join(folder, 'bellwater.db')
    writeFileSync(target, 'an older one')
    backUp(store.file, target)
    store.close()
    openStore({ folder, clock: new FakeClock() }).close()
  })

  it('never takes the place of the store itself, by whichever name', () => {
    const store = running()
    const other = join(newFolder(), 'link.db')
    symlinkSync(store.file, other)
    for (const target of [store.file, other])
      expect(() => backUp(store.file, target)).toThrow(`${target}: is the store itself`)
    store.recorder.commit(batch({ readings: [reading(6)] }))
    store.close()
  })

  it('to where there is no folder is told, and leaves nothing behind', () => {
    const store = running()
    const target = join(newFolder(), 'none', 'copy.db')
    expect(() => backUp(store.file, target)).toThrow(
      expect.objectContaining({ code: 'BW_STORE', message: expect.stringContaining(`copying to ${target}`) }),
    )
    expect(existsSync(`${target}.part`)).toBe(false)
    store.close()
  })
})
