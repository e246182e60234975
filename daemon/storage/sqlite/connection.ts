import Database from 'better-sqlite3'
import { Fault } from '../../errors.js'
import { orStoreFault } from './faults.js'

export type Connection = Database.Database

/** `Bwtr` in ASCII: says in the file's header whose it is (sqlite.org, PRAGMA application_id). */
export const applicationId = 0x42_77_74_72

/** How long we wait for another program that holds the write lock (a backup tool, a curious shell), in ms. */
const busyTimeout = 5000
/** The write-ahead log is cut back to this after a burst (a sweep, a long reader), so that it does not keep the disk. */
const journalSizeLimit = 16 * 1024 * 1024

/**
 * Opens the store for writing. WAL, because readers must never hold up the watch; `synchronous = FULL`, because what
 * was acknowledged must outlive a power cut. FULL has to be asked for: the SQLite inside better-sqlite3 falls to
 * NORMAL with the first write after WAL is on, and NORMAL may lose everything since the last checkpoint.
 *
 * `auto_vacuum = NONE`: pages freed by the nightly sweep are filled again by the next day, so the file stops growing
 * by itself, while a file that can shrink pays for its pointer map with writes that wear the card. Whoever wants the
 * space back makes a backup, which is written without holes.
 */
export function openForWriting(file: string): Connection {
  return orStoreFault(file, 'opening', () => {
    const db = new Database(file, { timeout: busyTimeout })
    try {
      refuseForeign(db, file)
      db.pragma('auto_vacuum = NONE')
      const mode = db.pragma('journal_mode = WAL', { simple: true })
      if (mode !== 'wal')
        throw new Fault(
          'BW_STORE',
          `${file}: no write-ahead log here (journal mode stays "${String(mode)}")`,
          noWal,
        )
      db.pragma('synchronous = FULL')
      db.pragma('foreign_keys = ON')
      db.pragma('trusted_schema = OFF')
      db.pragma(`journal_size_limit = ${journalSizeLimit}`)
      return db
    } catch (thrown) {
      db.close()
      throw thrown
    }
  })
}

const noWal = 'put the data folder on a local disk: network file systems lack the shared memory that it needs'

/** Opens the store for reading only, beside a daemon that writes. */
export function openForReading(file: string): Connection {
  return orStoreFault(file, 'opening', () => {
    const db = new Database(file, { readonly: true, fileMustExist: true, timeout: busyTimeout })
    try {
      refuseForeign(db, file)
      db.pragma('trusted_schema = OFF')
      return db
    } catch (thrown) {
      db.close()
      throw thrown
    }
  })
}

/** Is every commit on disk when it returns? Read back after a write, because that is when the setting gets lost. */
export const isFullySynchronous = (db: Connection): boolean =>
  db.pragma('synchronous', { simple: true }) === 2

/** A new file is nobody's yet; one with tables must be ours. */
function refuseForeign(db: Connection, file: string): void {
  const owner = db.pragma('application_id', { simple: true })
  const tables = db.prepare('SELECT count(*) FROM sqlite_schema').pluck().get()
  if (owner === applicationId || (owner === 0 && tables === 0)) return
  throw new Fault(
    'BW_STORE',
    `${file}: belongs to another program`,
    'give Bellwater a data folder of its own (settings: store)',
  )
}
