import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { expect, it } from 'vitest'
import { faultCodes } from '../../daemon/errors.js'

it('every error code stands in the contributors’ guide, and no other', () => {
  const guide = readFileSync(fileURLToPath(new URL('../../DEVELOPERS.md', import.meta.url)), 'utf8')
  const documented = [...guide.matchAll(/^\| `(BW_[A-Z_]+)` \|/gm)].map((match) => match[1])
  expect(documented.sort()).toEqual([...faultCodes].sort())
})
