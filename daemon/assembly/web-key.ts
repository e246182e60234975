import { randomBytes } from 'node:crypto'
import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { Fault } from '../errors.js'

const keyBytes = 32

/** The key that signs sessions and answer links: made once, kept in the data folder, readable by us alone. */
export function webKey(folder: string): Uint8Array {
  const file = join(folder, 'web.key')
  try {
    if (existsSync(file)) {
      const kept = Buffer.from(readFileSync(file, 'utf8').trim(), 'base64')
      if (kept.length >= keyBytes) return kept
    }
    const made = randomBytes(keyBytes)
    writeFileSync(file, `${made.toString('base64')}\n`, { mode: 0o600 })
    return made
  } catch (cause) {
    throw new Fault(
      'BW_STORE',
      `${file} can be neither read nor written`,
      'give this user the right to the data folder',
      { cause },
    )
  }
}
