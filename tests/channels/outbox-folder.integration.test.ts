import { mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, it } from 'vitest'
import { outboxFolder } from '../../daemon/channels/outbox-folder.js'
import { epochMs, milliseconds, parseRfc3339 } from '../../daemon/units/time.js'
import { channelContract, exampleLetter } from '../contracts/channel-contract.js'
import { temporaryFolder } from '../support/services.js'

const start = parseRfc3339('2026-11-25T02:12:00Z') ?? epochMs(0)
const open = (folder: string, keep = 1000, now = () => start) =>
  outboxFolder({ name: 'text', folder, keep, within: milliseconds(5000) }, { now })

channelContract('outbox folder', () => {
  const parent = temporaryFolder()
  const folder = join(parent.path, 'outbox')
  return Promise.resolve({
    channel: open(folder),
    address: '+44 7700 900101',
    breakIt: () => {
      // A file where the folder should be: nothing can be written below it, not even by root.
      rmSync(folder, { recursive: true, force: true })
      writeFileSync(folder, '')
      return Promise.resolve()
    },
    cleanUp: () => Promise.resolve(parent.remove()),
  })
})

it('writes one readable file a letter, named by time and id, and leaves nothing half-written', async () => {
  const { path, remove } = temporaryFolder()
  const channel = open(path)
  const letter = exampleLetter({ link: 'https://water.example.org/answer/t' })
  expect(await channel.send(letter)).toEqual({
    kind: 'accepted',
    detail: 'written to 2026-11-25T02-12-00Z-call-47.txt',
  })
  expect(readdirSync(path)).toEqual(['2026-11-25T02-12-00Z-call-47.txt'])
  expect(readFileSync(join(path, '2026-11-25T02-12-00Z-call-47.txt'), 'utf8'))
    .toBe(`To: First keeper, +44 7700 900101
At: 2026-11-25T02:12:00Z
Text (105 of 160): ${letter.text}

${letter.subject}

${letter.body}
Answer here: https://water.example.org/answer/t
`)
  await channel.close()
  remove()
})

it('keeps the newest letters, and never touches files that are not its own', async () => {
  const { path, remove } = temporaryFolder()
  mkdirSync(path, { recursive: true })
  writeFileSync(join(path, '2020-notes.txt'), 'mine')
  let now = start
  const channel = open(path, 3, () => now)
  for (const id of [1, 2, 3, 4, 5]) {
    now = epochMs(now + 1000)
    await channel.send(exampleLetter({ id }))
  }
  expect(readdirSync(path).toSorted()).toEqual([
    '2020-notes.txt',
    ...[3, 4, 5].map((id) => `2026-11-25T02-12-0${id}Z-call-${id}.txt`),
  ])
  await channel.close()
  remove()
})
