import { existsSync, readdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { describe, expect, it } from 'vitest'
import { silentLog, type Log } from '../../../daemon/ports/log.js'
import { openForWriting } from '../../../daemon/storage/sqlite/connection.js'
import { migrate, schemaVersion, type Migration } from '../../../daemon/storage/sqlite/migrate.js'
import { migrations } from '../../../daemon/storage/sqlite/migrations/all.js'
import { openStore } from '../../../daemon/storage/sqlite/open-store.js'
import { batch, reading } from '../../contracts/example-batch.js'
import { FakeClock } from '../../support/fake-clock.js'
import { temporaryFolders } from '../temporary-folder.js'

const newFolder = temporaryFolders()

/** A made-up history of a made-up schema. */
const first: Migration = {
  number: 1,
  sql: `CREATE TABLE old_readings (at INTEGER, millivolts REAL) STRICT`,
}
const second: Migration = {
  number: 2,
  sql: `CREATE TABLE better (t INTEGER PRIMARY KEY, volts REAL) STRICT;
        INSERT INTO better SELECT at, millivolts / 1000 FROM old_readings;
        DROP TABLE old_readings`,
}
const third: Migration = { number: 3, sql: `ALTER TABLE better ADD COLUMN note TEXT` }
const broken: Migration = { number: 3, sql: `DELETE FROM better; ALTER TABLE nowhere ADD COLUMN note TEXT` }

function oldStore() {
  const file = join(newFolder(), 'bellwater.db')
  const db = openForWriting(file)
  migrate(db, file, [first], silentLog)
  db.exec('INSERT INTO old_readings VALUES (1, 1500), (2, 2500)')
  return { file, db }
}

const volts = (db: Database.Database) => db.prepare('SELECT volts FROM better ORDER BY t').pluck().all()

describe('migrating', () => {
  it('goes forward step by step, keeps the data, and keeps a copy of what was there before', () => {
    const { file, db } = oldStore()
    const said: unknown[] = []
    const log: Log = { ...silentLog, info: (facts) => said.push(facts) }
    migrate(db, file, [first, second, third], log)
    expect(schemaVersion(db)).toBe(3)
    expect(volts(db)).toEqual([1.5, 2.5])
    const copy = join(file, '..', 'before-migration-2.db')
    expect(said).toEqual([{ from: 1, to: 3, copy }])
    const before = new Database(copy, { readonly: true })
    expect(schemaVersion(before)).toBe(1)
    expect(before.prepare('SELECT millivolts FROM old_readings').pluck().all()).toEqual([1500, 2500])
    expect(before.pragma('integrity_check', { simple: true })).toBe('ok')
    before.close()
    db.close()
  })

  it('that fails leaves the store as it was before that step, and may be tried again', () => {
    const { file, db } = oldStore()
    expect(() => migrate(db, file, [first, second, broken], silentLog)).toThrow(
      expect.objectContaining({ code: 'BW_STORE', message: expect.stringContaining('migration 3') }),
    )
    expect(schemaVersion(db)).toBe(2)
    expect(volts(db)).toEqual([1.5, 2.5])
    migrate(db, file, [first, second, third], silentLog)
    expect(schemaVersion(db)).toBe(3)
    db.close()
  })

  it('does nothing to a store that is up to date, and makes no copy of one or of a new one', () => {
    const { file, db } = oldStore()
    migrate(db, file, [first], silentLog)
    db.close()
    expect(readdirSync(join(file, '..'))).toEqual(['bellwater.db'])
  })

  it('finishes a copy that an earlier attempt began', () => {
    const { file, db } = oldStore()
    const copy = join(file, '..', 'before-migration-2.db')
    writeFileSync(`${copy}.part`, 'half')
    writeFileSync(copy, 'of an earlier attempt')
    migrate(db, file, [first, second], silentLog)
    expect(existsSync(`${copy}.part`)).toBe(false)
    const before = new Database(copy, { readonly: true })
    expect(schemaVersion(before)).toBe(1)
    before.close()
    db.close()
  })

  it('does not begin when the copy cannot be made', () => {
    const { file, db } = oldStore()
    // Something stands where the copy should go, and a folder is not replaced by a file.
    const folder = join(file, '..', 'before-migration-2.db')
    openStore({ folder, clock: new FakeClock() }).close()
    expect(() => migrate(db, file, [first, second], silentLog)).toThrow(
      expect.objectContaining({ code: 'BW_STORE', message: expect.stringContaining(`copying to ${folder}`) }),
    )
    expect(schemaVersion(db)).toBe(1)
    db.close()
  })
})

describe('a store written by a newer program', () => {
  it('is refused and left as it is', () => {
    const folder = newFolder()
    const clock = new FakeClock()
    const newer: Migration = { number: migrations.length + 1, sql: 'CREATE TABLE tomorrow (x ANY) STRICT' }
    openStore({ folder, clock, migrations: [...migrations, newer] }).close()
    expect(() => openStore({ folder, clock })).toThrow(
      expect.objectContaining({
        code: 'BW_STORE_VERSION',
        message: `${folder}/bellwater.db: has schema ${migrations.length + 1}, this program knows up to ${migrations.length}`,
      }),
    )
    // The refusal let go of the folder: the newer program can start again.
    openStore({ folder, clock, migrations: [...migrations, newer] }).close()
  })
})

it('our own store survives a migration of tomorrow with all it holds', () => {
  const folder = newFolder()
  const clock = new FakeClock()
  const store = openStore({ folder, clock })
  store.recorder.commit(batch({ readings: [reading(5, { reasons: ['flat'] })] }))
  store.close()
  const next: Migration = {
    number: migrations.length + 1,
    sql: 'ALTER TABLE readings ADD COLUMN run INTEGER; CREATE TABLE runs (x ANY) STRICT',
  }
  const migrated = openStore({ folder, clock, migrations: [...migrations, next] })
  expect(migrated.recorder.restore().newest).toEqual([reading(5, { reasons: ['flat'] })])
  migrated.close()
  expect(existsSync(join(folder, `before-migration-${next.number}.db`))).toBe(true)
})

it('the list of migrations has no gap', () => {
  expect(migrations.map(({ number }) => number)).toEqual(migrations.map((_, place) => place + 1))
})
