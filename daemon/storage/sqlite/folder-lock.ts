import { hostname } from 'node:os'
import { pid } from 'node:process'
import Database from 'better-sqlite3'
import { Fault } from '../../errors.js'
import { rfc3339, type EpochMs, epochMs } from '../../units/time.js'
import { lockFile } from './data-folder.js'
import { storeFault } from './faults.js'

export interface FolderLock {
  release(): void
}

interface Holder {
  readonly pid: number
  readonly host: string
  readonly since: number
}

/**
 * One daemon per data folder. The lock is a write transaction on a small SQLite file of its own that is never
 * finished: the operating system drops it with the process that holds it, however that ends, so nothing stale can be
 * left behind, as with a file that holds a process number. Others may still read who holds it, since an open write
 * transaction shuts out writers only. Throws a Fault `BW_STORE_IN_USE` when it is taken.
 */
export function lockFolder(folder: string, now: EpochMs): FolderLock {
  const file = lockFile(folder)
  let db: Database.Database | null = null
  try {
    db = new Database(file, { timeout: 0 })
    take(db, now)
  } catch (thrown) {
    const holder = isBusy(thrown) && db !== null ? holderOf(db) : null
    db?.close()
    if (isBusy(thrown)) throw inUse(folder, holder, thrown)
    throw storeFault(file, 'locking the data folder', thrown)
  }
  const held = db
  return {
    release: () => {
      held.close()
    },
  }
}

/** Says who we are, then holds. Between the two another may slip in: then it is that one's folder, and we say so. */
function take(db: Database.Database, now: EpochMs): void {
  db.exec('BEGIN IMMEDIATE')
  db.exec(
    'CREATE TABLE IF NOT EXISTS holder (pid INTEGER NOT NULL, host TEXT NOT NULL, since INTEGER NOT NULL) STRICT',
  )
  db.exec('DELETE FROM holder')
  db.prepare('INSERT INTO holder (pid, host, since) VALUES (?, ?, ?)').run(pid, hostname(), now)
  db.exec('COMMIT')
  db.exec('BEGIN IMMEDIATE')
}

/** Null while the other one is just writing its name. */
function holderOf(db: Database.Database): Holder | null {
  try {
    return db.prepare<[], Holder>('SELECT pid, host, since FROM holder').get() ?? null
  } catch {
    // The refusal stands without the name too.
    return null
  }
}

function inUse(folder: string, holder: Holder | null, cause: unknown): Fault {
  const who =
    holder === null
      ? 'another daemon'
      : `process ${holder.pid} on ${holder.host} since ${rfc3339(epochMs(holder.since))}`
  return new Fault(
    'BW_STORE_IN_USE',
    `${folder}: in use by ${who}`,
    'stop that one first, or give this one a data folder of its own (settings: store.folder)',
    { cause },
  )
}

const isBusy = (thrown: unknown): boolean =>
  thrown instanceof Database.SqliteError && thrown.code.startsWith('SQLITE_BUSY')
