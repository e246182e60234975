import { join } from 'node:path'
import Database from 'better-sqlite3'
import { describe, expect, it } from 'vitest'
import {
  isFullySynchronous,
  openForReading,
  openForWriting,
} from '../../../daemon/storage/sqlite/connection.js'
import { openStore } from '../../../daemon/storage/sqlite/open-store.js'
import { emptyBatch } from '../../contracts/example-batch.js'
import { FakeClock } from '../../support/fake-clock.js'
import { temporaryFolders } from '../temporary-folder.js'

const newFolder = temporaryFolders()

describe('the connection that writes', () => {
  it('still waits for the disk after the first write, which is when the setting gets lost', () => {
    const file = join(newFolder(), 'a.db')
    const plain = new Database(file)
    plain.pragma('journal_mode = WAL')
    plain.exec('CREATE TABLE t (x)')
    // The trap itself: were this no longer so, openForWriting could do without its own setting.
    expect(isFullySynchronous(plain)).toBe(false)
    plain.exec('DROP TABLE t')
    plain.close()
    const db = openForWriting(file)
    db.exec('CREATE TABLE t (x)')
    db.exec('INSERT INTO t VALUES (1)')
    expect(isFullySynchronous(db)).toBe(true)
    db.close()
  })

  it.each([
    ['journal_mode', 'wal'],
    ['foreign_keys', 1],
    ['trusted_schema', 0],
    ['auto_vacuum', 0],
    ['journal_size_limit', 16 * 1024 * 1024],
    ['busy_timeout', 5000],
    ['synchronous', 2],
  ])('has %s = %s', (name, value) => {
    const db = openForWriting(join(newFolder(), 'a.db'))
    db.exec('CREATE TABLE t (x)')
    expect(db.pragma(name, { simple: true })).toBe(value)
    db.close()
  })
})

describe('what is no store of ours', () => {
  it('a database of another program is left alone', () => {
    const file = join(newFolder(), 'bellwater.db')
    const other = new Database(file)
    other.exec('CREATE TABLE recipes (x)')
    other.close()
    for (const open of [openForWriting, openForReading])
      expect(() => open(file)).toThrow(`${file}: belongs to another program`)
    const after = new Database(file)
    expect(after.pragma('journal_mode', { simple: true })).toBe('delete')
    after.close()
  })
})

describe('the tables', () => {
  it('are all STRICT, and those with a key of their own have no second one', () => {
    const store = openStore({ folder: newFolder(), clock: new FakeClock() })
    store.recorder.commit(emptyBatch)
    const db = openForReading(store.file)
    const tables = db
      .prepare(`SELECT name, wr, strict FROM pragma_table_list WHERE type = 'table'`)
      .all() as {
      name: string
      wr: number
      strict: number
    }[]
    const own = tables.filter(({ name }) => !name.startsWith('sqlite_'))
    expect(own.filter(({ strict }) => strict === 0)).toEqual([])
    expect(
      own
        .filter(({ wr }) => wr === 1)
        .map(({ name }) => name)
        .sort(),
    ).toEqual(['meta', 'readings', 'state'])
    db.close()
    store.close()
  })

  it('let nobody change or shorten the journal, not even past the program', () => {
    const store = openStore({ folder: newFolder(), clock: new FakeClock() })
    store.recorder.commit({
      ...emptyBatch,
      journal: [{ at: new FakeClock().now(), event: 'state', about: 'a', doc: 1 }],
    })
    const db = new Database(store.file)
    expect(() => db.exec(`UPDATE journal SET event = 'x'`)).toThrow('the journal is append-only')
    expect(() => db.exec(`DELETE FROM journal`)).toThrow('the journal is append-only')
    expect(() => db.exec(`REPLACE INTO journal (seq, at, event, doc) VALUES (1, 1, 'x', '1')`)).toThrow(
      'the journal is append-only',
    )
    db.close()
    store.close()
  })
})
