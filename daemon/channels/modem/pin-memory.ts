import { randomBytes, scryptSync, timingSafeEqual } from 'node:crypto'
import { closeSync, existsSync, fsyncSync, mkdirSync, openSync, readFileSync, writeSync } from 'node:fs'
import { dirname } from 'node:path'

/** Remembers over restarts that a card refused a PIN: three wrong ones lock it, and a daemon restarts more often than that. */
export interface PinMemory {
  isRefused(pin: string): boolean
  /** Kept on disk when it returns. Throws what the disk says. */
  refused(pin: string): void
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
    refused: (pin) => {
      const salt = randomBytes(16)
      mkdirSync(dirname(file), { recursive: true })
      const kept = openSync(file, 'w', 0o600)
      try {
        writeSync(kept, `${salt.toString('base64')} ${hashOf(pin, salt).toString('base64')}\n`)
        fsyncSync(kept)
      } finally {
        closeSync(kept)
      }
    },
  }
}

const hashOf = (pin: string, salt: Buffer): Buffer => scryptSync(pin, salt, hashOctets)
