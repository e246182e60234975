import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { expect, it } from 'vitest'
import { freeDisk } from '../../daemon/system/free-disk.js'

it('tells the space of a folder in bytes', async () => {
  const { free, total } = await freeDisk(tmpdir())
  expect(free).toBeGreaterThan(0)
  expect(total).toBeGreaterThanOrEqual(free)
})

it('says which folder it cannot look at', async () => {
  const folder = join(tmpdir(), 'no-such-folder-of-bellwater')
  await expect(freeDisk(folder)).rejects.toMatchObject({
    code: 'BW_STORE',
    message: `${folder}: cannot tell how much space is left`,
  })
})
