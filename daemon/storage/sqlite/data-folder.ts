import { accessSync, constants, mkdirSync, statSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { Fault } from '../../errors.js'

export const storeFile = (folder: string): string => join(folder, 'bellwater.db')
export const lockFile = (folder: string): string => join(folder, 'bellwater.lock')

/** Makes the data folder if it is missing. Throws a Fault `BW_STORE` that says why it is no place for a store. */
export function prepareFolder(folder: string): void {
  try {
    mkdirSync(folder, { recursive: true, mode: 0o750 })
  } catch (cause) {
    throw new Fault(
      'BW_STORE',
      `${folder}: ${whyNotMade(folder, cause)}`,
      'give another folder (settings: store.folder)',
      {
        cause,
      },
    )
  }
  try {
    if (!statSync(folder).isDirectory())
      throw new Fault('BW_STORE', `${folder}: is a file, not a folder`, giveFolder)
    accessSync(folder, constants.R_OK | constants.W_OK | constants.X_OK)
  } catch (cause) {
    if (cause instanceof Fault) throw cause
    throw new Fault('BW_STORE', `${folder}: the daemon may not write here (${codeOf(cause)})`, mayWrite, {
      cause,
    })
  }
}

const giveFolder = 'give a folder (settings: store.folder)'
const mayWrite =
  'give the folder to the user that runs the daemon, and check that its file system is not mounted read-only'

function whyNotMade(folder: string, thrown: unknown): string {
  // Node 20 says ENOENT for every refusal of a folder above; that one itself tells more.
  const code = codeOf(thrown) === 'ENOENT' ? whyNotWritable(dirname(folder)) : codeOf(thrown)
  if (code === 'EEXIST') return 'is a file, not a folder'
  if (code === 'ENOTDIR') return 'a part of this path is a file, not a folder'
  if (code === 'EACCES' || code === 'EPERM') return `the daemon may not make this folder (${code})`
  if (code === 'EROFS') return 'cannot be made: the file system is mounted read-only'
  if (code === 'ENOSPC') return 'cannot be made: the disk is full'
  return `cannot be made (${code})`
}

/** The code of the nearest folder above that exists. */
function whyNotWritable(above: string): string {
  try {
    accessSync(above, constants.W_OK | constants.X_OK)
    return 'ENOENT'
  } catch (thrown) {
    const code = codeOf(thrown)
    return code === 'ENOENT' && dirname(above) !== above ? whyNotWritable(dirname(above)) : code
  }
}

const codeOf = (thrown: unknown): string =>
  thrown instanceof Error && 'code' in thrown ? String(thrown.code) : String(thrown)
