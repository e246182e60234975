import type { Clock } from '../../ports/clock.js'
import { silentLog, type Log } from '../../ports/log.js'
import type { Recorder } from '../../ports/recorder.js'
import type { EpochMs, Milliseconds } from '../../units/time.js'
import { openForWriting } from './connection.js'
import { prepareFolder, storeFile } from './data-folder.js'
import { orStoreFault } from './faults.js'
import { lockFolder } from './folder-lock.js'
import { migrate, type Migration } from './migrate.js'
import { migrations as ours } from './migrations/all.js'
import { SqliteRecorder } from './recorder.js'
import { sweep, type Swept } from './retention.js'

export interface Store {
  /** `<folder>/bellwater.db`: what readers and backups open. */
  readonly file: string
  readonly recorder: Recorder
  /** See `retention.ts`. */
  sweep(now: EpochMs, keep: Milliseconds): Promise<Swept>
  /** Once is enough; more does nothing. */
  close(): void
}

export interface StoreOptions {
  readonly folder: string
  readonly clock: Clock
  readonly log?: Log
  readonly migrations?: readonly Migration[]
}

/**
 * Opens the store in `folder` for the one daemon that may write to it: makes the folder, locks it, brings the schema
 * up to date. Throws Faults `BW_STORE` (no place to write), `BW_STORE_IN_USE` (another daemon), `BW_STORE_VERSION`
 * (written by a newer program).
 */
export function openStore({ folder, clock, log = silentLog, migrations = ours }: StoreOptions): Store {
  prepareFolder(folder)
  const lock = lockFolder(folder, clock.now())
  try {
    const recorder = openRecorder(storeFile(folder), clock, { log, migrations })
    return {
      file: recorder.file,
      recorder,
      sweep: (now, keep) => sweep(recorder, now, keep),
      close: () => {
        recorder.close()
        lock.release()
      },
    }
  } catch (thrown) {
    lock.release()
    throw thrown
  }
}

function openRecorder(
  file: string,
  clock: Clock,
  { log, migrations }: { readonly log: Log; readonly migrations: readonly Migration[] },
): SqliteRecorder {
  const db = openForWriting(file)
  try {
    migrate(db, file, migrations, log)
    return orStoreFault(file, 'opening', () => new SqliteRecorder(db, file, clock))
  } catch (thrown) {
    db.close()
    throw thrown
  }
}
