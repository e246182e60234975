import { dirname, join } from 'node:path'
import { assert, Fault } from '../../errors.js'
import type { Log } from '../../ports/log.js'
import { applicationId, type Connection } from './connection.js'
import { copyStore } from './copy-store.js'
import { orStoreFault } from './faults.js'

export interface Migration {
  /** Counted from 1. The number of the last one applied is the file's `user_version`. */
  readonly number: number
  readonly sql: string
}

/**
 * Brings the schema of the open store up to date: forwards only, each migration in a transaction of its own. A store
 * that already holds something is copied first, to `before-migration-<number of the first one applied>.db` beside it.
 * A store written by a newer program is left alone: Fault `BW_STORE_VERSION`.
 */
export function migrate(db: Connection, file: string, migrations: readonly Migration[], log: Log): void {
  migrations.forEach(({ number }, place) =>
    assert(number === place + 1, `migration ${number} is out of order`),
  )
  const version = orStoreFault(file, 'reading its version', () => schemaVersion(db))
  if (version > migrations.length)
    throw new Fault(
      'BW_STORE_VERSION',
      `${file}: has schema ${version}, this program knows up to ${migrations.length}`,
      `start the newer program again, or restore a backup made by this one (look for before-migration-*.db in ${dirname(file)})`,
    )
  const due = migrations.slice(version)
  const next = due[0]
  if (next === undefined) return
  if (version > 0) {
    const copy = join(dirname(file), `before-migration-${next.number}.db`)
    copyStore(db, file, copy)
    log.info(
      { from: version, to: migrations.length, copy },
      'the store is brought up to date; a copy was kept',
    )
  }
  for (const migration of due)
    orStoreFault(file, `migration ${migration.number}`, () => {
      db.transaction(() => {
        db.exec(migration.sql)
        db.pragma(`user_version = ${migration.number}`)
        db.pragma(`application_id = ${applicationId}`)
      }).immediate()
    })
}

/** 0 for a new store. */
export const schemaVersion = (db: Connection): number => Number(db.pragma('user_version', { simple: true }))
