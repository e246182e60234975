import { randomBytes, scryptSync, timingSafeEqual } from 'node:crypto'
import { existsSync, readFileSync } from 'node:fs'
import { mkdir, open } from 'node:fs/promises'
import { dirname } from 'node:path'

/** Remembers over restarts that a card refused a PIN: three wrong ones lock it, and a daemon restarts more often than that. */
export interface PinMemory {
  isRefused(pin: string): boolean
  /** Kept on disk when it resolves. */
  refused(pin: string): Promise<void>
}

const hashOctets = 32

/**
 * Keeps it in a file: a salted hash (scrypt, RFC 7914), never the PIN. Who reads the file could try all PINs of four digits;
 * he would learn one that is wrong. Another PIN in the configuration counts as never tried.
 */
export function pinMemory(file: string): PinMemory {
  return {
    isRefused: (pin) => {
      if (!existsSync(file)) return false
      const [salt = '', hash = ''] = readFileSync(file, 'utf8').trim().split(' ')
      const kept = Buffer.from(hash, 'base64')
      return kept.length === hashOctets && timingSafeEqual(kept, hashOf(pin, Buffer.from(salt, 'base64')))
    },
    refused: async (pin) => {
      const salt = randomBytes(16)
      await mkdir(dirname(file), { recursive: true })
      const kept = await open(file, 'w', 0o600)
      try {
        await kept.writeFile(`${salt.toString('base64')} ${hashOf(pin, salt).toString('base64')}\n`)
        await kept.sync()
      } finally {
        await kept.close()
      }
    },
  }
}

const hashOf = (pin: string, salt: Buffer): Buffer => scryptSync(pin, salt, hashOctets)
