import { readdir } from 'node:fs/promises'
import { basename, dirname, join } from 'node:path'

/**
 * Where the modem may be. `*` and `?` in the last part of the path stand for any characters: a modem plugged in again may
 * get another number. A path without them is given back as it is, whether or not it exists.
 */
export async function devicesLike(path: string): Promise<readonly string[]> {
  const name = basename(path)
  if (!/[*?]/.test(name)) return [path]
  const folder = dirname(path)
  const form = new RegExp(
    `^${name
      .replaceAll(/[.+^${}()|[\]\\]/g, '\\$&')
      .replaceAll('*', '.*')
      .replaceAll('?', '.')}$`,
  )
  const names = await readdir(folder).catch(() => [])
  // ttyUSB10 after ttyUSB9.
  return names
    .filter((one) => form.test(one))
    .toSorted((one, other) => one.localeCompare(other, 'en', { numeric: true }))
    .map((one) => join(folder, one))
}
