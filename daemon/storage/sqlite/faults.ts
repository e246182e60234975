import Database from 'better-sqlite3'
import { Fault } from '../../errors.js'

/** What SQLite's result codes mean to a keeper, by the start of the extended code (sqlite.org, "Result and Error Codes"). */
const meanings: readonly (readonly [code: string, says: string, hint: string])[] = [
  [
    'SQLITE_FULL',
    'the disk is full',
    'make room on the disk that holds the data folder; recording goes on by itself',
  ],
  [
    'SQLITE_IOERR',
    'the disk does not read or write',
    'look at the system log for errors of the disk or card, check its free space and any file-size limit; keep a backup at hand',
  ],
  [
    'SQLITE_READONLY',
    'the store cannot be written',
    'make the data folder and its files writable for the daemon',
  ],
  [
    'SQLITE_CORRUPT',
    'the store is damaged',
    'stop the daemon, keep the damaged file, and restore the last backup; a failing disk or card is the usual cause',
  ],
  [
    'SQLITE_NOTADB',
    'the file is no store',
    'give another data folder, or restore the last backup into this one',
  ],
  [
    'SQLITE_CANTOPEN',
    'the store cannot be opened',
    'check that the data folder exists and that the daemon may read and write it',
  ],
  [
    'SQLITE_BUSY',
    'another program holds the store',
    'close whatever has bellwater.db open for writing; recording goes on by itself',
  ],
]

/** Turns whatever SQLite threw into a Fault `BW_STORE` that says where, what and what to do. Faults pass unchanged. */
export function storeFault(file: string, doing: string, thrown: unknown): Fault {
  if (thrown instanceof Fault) return thrown
  const code = thrown instanceof Database.SqliteError ? thrown.code : ''
  const words = thrown instanceof Error ? thrown.message : String(thrown)
  const known = meanings.find(([start]) => code.startsWith(start))
  const [, says, hint] = known ?? [code, 'the store failed', 'please report this with the words above']
  return new Fault(
    'BW_STORE',
    `${file}: ${doing}: ${says} (${code === '' ? words : `${code}: ${words}`})`,
    hint,
    {
      cause: thrown,
    },
  )
}

/** Runs `work` and lets nothing but Faults out. */
export function orStoreFault<Result>(file: string, doing: string, work: () => Result): Result {
  try {
    return work()
  } catch (thrown) {
    throw storeFault(file, doing, thrown)
  }
}
