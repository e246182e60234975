import { mkdir, open, readdir, rename, rm } from 'node:fs/promises'
import { join } from 'node:path'
import { septetLength } from '../callout/gsm7.js'
import type { Channel, Letter, Sent } from '../ports/channel.js'
import type { Clock } from '../ports/clock.js'
import { rfc3339, type EpochMs } from '../units/time.js'
import { errorText, outcome } from './detail.js'
import { bodyOf } from './letter-body.js'
import { limited } from './limited.js'
import type { OutboxFolderOptions } from './options.js'

const ownFile = /^\d{4}-.*-call-\d+\.txt$/

/** Writes every letter into a file of its own instead of sending it: for first runs, drills and tests. */
export function outboxFolder(options: OutboxFolderOptions, clock: Pick<Clock, 'now'>): Channel {
  const { name, folder, keep, within } = options
  const send = async (letter: Letter): Promise<Sent> => {
    const at = clock.now()
    // Colons are not allowed in file names everywhere.
    const file = `${rfc3339(at).replaceAll(':', '-')}-call-${letter.id}.txt`
    try {
      await mkdir(folder, { recursive: true })
      await writeWhole(join(folder, file), pageOf(letter, at))
      await keepNewest(folder, keep)
      return outcome('accepted', `written to ${file}`)
    } catch (error) {
      return outcome('temporary', `could not be written: ${errorText(error)}`)
    }
  }
  const { attempt, close } = limited(send, { within })
  return { name, send: attempt, close }
}

/** Whole or not at all, also for someone who looks into the folder meanwhile or after a power cut. */
async function writeWhole(path: string, text: string): Promise<void> {
  const part = `${path}.part`
  const file = await open(part, 'w')
  try {
    await file.writeFile(text)
    await file.sync()
  } finally {
    await file.close()
  }
  await rename(part, path)
}

/** Names begin with the time, so that their order is the order of writing. */
async function keepNewest(folder: string, keep: number): Promise<void> {
  const files = (await readdir(folder)).filter((file) => ownFile.test(file)).toSorted()
  for (const file of files.slice(0, Math.max(0, files.length - keep))) {
    await rm(join(folder, file), { force: true })
  }
}

const pageOf = (
  letter: Letter,
  at: EpochMs,
): string => `${letter.test ? 'Test to' : 'To'}: ${letter.person}, ${letter.address}
At: ${rfc3339(at)}
Text (${septetLength(letter.text)} of 160): ${letter.text}

${letter.subject}

${bodyOf(letter)}`
