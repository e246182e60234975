import { hostname } from 'node:os'
import { join } from 'node:path'
import { writeFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { openStore } from '../../../daemon/storage/sqlite/open-store.js'
import { emptyBatch } from '../../contracts/example-batch.js'
import { FakeClock } from '../../support/fake-clock.js'
import { temporaryFolders } from '../temporary-folder.js'
import { nextLine, startChild } from './children/run-child.js'

const newFolder = temporaryFolders()
const open = (folder: string) => openStore({ folder, clock: new FakeClock() })

describe('one daemon per data folder', () => {
  it('a second process is told who holds it and since when; SIGKILL leaves nothing stale behind', async () => {
    const folder = newFolder()
    for (const _round of [1, 2]) {
      const child = startChild('hold-store', [folder])
      expect(await nextLine(child)).toBe('holding')
      expect(() => open(folder)).toThrow(
        expect.objectContaining({
          code: 'BW_STORE_IN_USE',
          message: `${folder}: in use by process ${child.process.pid} on ${hostname()} since 2027-01-10T02:14:00Z`,
        }),
      )
      child.process.kill('SIGKILL')
      expect(await child.ended).toEqual({ code: null, signal: 'SIGKILL' })
      open(folder).close()
    }
  })

  it('a second one in the same process is refused as well, and does not loosen the first one', async () => {
    const folder = newFolder()
    const first = open(folder)
    for (const _again of [1, 2]) expect(() => open(folder)).toThrow(`in use by process ${process.pid}`)
    const child = startChild('hold-store', [folder])
    expect(await nextLine(child)).toBe('BW_STORE_IN_USE')
    await child.ended
    first.recorder.commit(emptyBatch)
    first.close()
    open(folder).close()
  })

  it('a lock file that is no lock file is told as such', () => {
    const folder = newFolder()
    writeFileSync(
      join(folder, 'bellwater.lock'),
      'this is not a lock, but it is long enough to be looked at as one'.repeat(20),
    )
    expect(() => open(folder)).toThrow(
      expect.objectContaining({
        code: 'BW_STORE',
        message: expect.stringContaining('bellwater.lock: locking the data folder'),
      }),
    )
  })
})
