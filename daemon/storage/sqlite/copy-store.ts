import { closeSync, existsSync, fsyncSync, openSync, realpathSync, renameSync, rmSync } from 'node:fs'
import { dirname } from 'node:path'
import { Fault } from '../../errors.js'
import { openForReading, type Connection } from './connection.js'
import { storeFault } from './faults.js'

/**
 * Writes a consistent copy of the store, as it is at this moment, to `target`; also while a daemon is writing to it,
 * which is not held up. The copy is compact (no free pages) and takes the place of a file of that name only when it
 * is complete and on disk. Takes as long as reading and writing the whole file once. Throws a Fault `BW_STORE`.
 */
export function copyStore(db: Connection, file: string, target: string): void {
  const part = `${target}.part`
  try {
    rmSync(part, { force: true })
    db.prepare('VACUUM INTO ?').run(part)
    syncToDisk(part)
    renameSync(part, target)
    syncToDisk(dirname(target))
  } catch (thrown) {
    rmSync(part, { force: true })
    const fault = storeFault(file, `copying to ${target}`, thrown)
    throw new Fault(fault.code, fault.message, `is there room for a second copy at ${dirname(target)}?`, {
      cause: thrown,
    })
  }
}

/** The same for a store that this process has not open (`backup`). */
export function backUp(file: string, target: string): void {
  if (existsSync(target) && realpathSync(target) === realpathSync(file))
    throw new Fault(
      'BW_STORE',
      `${target}: is the store itself`,
      'give the backup a name and place of its own',
    )
  const db = openForReading(file)
  try {
    copyStore(db, file, target)
  } finally {
    db.close()
  }
}

function syncToDisk(path: string): void {
  const handle = openSync(path, 'r')
  try {
    fsyncSync(handle)
  } finally {
    closeSync(handle)
  }
}
