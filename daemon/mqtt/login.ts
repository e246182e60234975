import { createHash, timingSafeEqual } from 'node:crypto'
import type { Login } from './options.js'

/** Hashed, because the comparison needs equal lengths, and must take equally long whatever was sent. */
const hashed = (text: string | Uint8Array): Buffer => createHash('sha256').update(text).digest()

/** Whether someone who connects gave the right name and password. Without a login to be asked for, everyone is right. */
export function loginCheck(
  login: Login | null,
): (username: string | undefined, password: Uint8Array | undefined) => boolean {
  if (login === null) return () => true
  const name = hashed(login.username)
  const secret = hashed(login.password.reveal())
  return (username = '', password = new Uint8Array()) => {
    const nameIsRight = timingSafeEqual(hashed(username), name)
    const secretIsRight = timingSafeEqual(hashed(password), secret)
    return nameIsRight && secretIsRight
  }
}

/** Only this machine can reach it: addresses 127.0.0.0/8 and ::1, and the name for them. */
export const isLoopback = (host: string): boolean =>
  /^127\.\d{1,3}\.\d{1,3}\.\d{1,3}$/.test(host) || host === '::1' || host === 'localhost'
