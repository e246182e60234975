import { randomBytes, scrypt, timingSafeEqual } from 'node:crypto'

/**
 * Cost of one guess: 32 MiB and three passes, which a board with 512 MB still affords.
 * @source OWASP, Password Storage Cheat Sheet, scrypt N = 2^15, r = 8, p = 3 (from memory)
 */
const cost = { logN: 15, r: 8, p: 3 }
const keyLength = 32
/** scrypt needs 128·N·r bytes; twice that leaves room, and stops a forged record from asking for gigabytes. */
const memoryMax = 64 * 1024 * 1024

/** Compared against when there is no such person, so that the time taken does not tell. No password fits it. */
export const nobodysPassword = [
  'scrypt',
  cost.logN,
  cost.r,
  cost.p,
  Buffer.alloc(16).toString('base64url'),
  Buffer.alloc(keyLength).toString('base64url'),
].join('$')

/** What is kept of a password: `scrypt$15$8$3$<salt>$<hash>`, base64url. Never the password. */
export async function hashPassword(password: string): Promise<string> {
  const salt = randomBytes(16)
  const hash = await derive(password, salt, cost)
  return ['scrypt', cost.logN, cost.r, cost.p, salt.toString('base64url'), hash.toString('base64url')].join(
    '$',
  )
}

/** Whether the password is the one kept; false for a record that cannot be read. Takes the same time either way. */
export async function passwordFits(password: string, kept: string): Promise<boolean> {
  const [kind, logN, r, p, salt, hash] = kept.split('$')
  if (kind !== 'scrypt' || salt === undefined || hash === undefined) return false
  const expected = Buffer.from(hash, 'base64url')
  if (expected.length !== keyLength) return false
  const asked = { logN: Number(logN), r: Number(r), p: Number(p) }
  if (![asked.logN, asked.r, asked.p].every((part) => Number.isInteger(part) && part > 0)) return false
  if (128 * 2 ** asked.logN * asked.r > memoryMax) return false
  return timingSafeEqual(await derive(password, Buffer.from(salt, 'base64url'), asked), expected)
}

const derive = (password: string, salt: Buffer, { logN, r, p }: typeof cost): Promise<Buffer> =>
  new Promise((resolve, reject) => {
    // NFKC, so that the same letters typed on another keyboard fit (RFC 8265 asks for NFC at least).
    scrypt(
      password.normalize('NFKC'),
      salt,
      keyLength,
      { N: 2 ** logN, r, p, maxmem: memoryMax },
      (error, key) => (error === null ? resolve(key) : reject(error)),
    )
  })
