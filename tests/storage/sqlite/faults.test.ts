import Database from 'better-sqlite3'
import { describe, expect, it } from 'vitest'
import { Fault } from '../../../daemon/errors.js'
import { orStoreFault, storeFault } from '../../../daemon/storage/sqlite/faults.js'

describe('what SQLite throws', () => {
  it.each([
    ['SQLITE_FULL', 'the disk is full', /^make room/],
    ['SQLITE_IOERR_FSYNC', 'the disk does not read or write', /system log/],
    ['SQLITE_READONLY_DIRECTORY', 'the store cannot be written', /writable/],
    ['SQLITE_CORRUPT_INDEX', 'the store is damaged', /restore the last backup/],
    ['SQLITE_NOTADB', 'the file is no store', /restore the last backup/],
    ['SQLITE_CANTOPEN_ISDIR', 'the store cannot be opened', /data folder exists/],
    ['SQLITE_BUSY_SNAPSHOT', 'another program holds the store', /close whatever/],
    ['SQLITE_MISUSE', 'the store failed', /please report/],
  ])('%s says where, what and what to do', (code, says, hint) => {
    const cause = new Database.SqliteError('words of SQLite', code)
    const fault = storeFault('data/bellwater.db', 'recording', cause)
    expect(fault).toBeInstanceOf(Fault)
    expect(fault.code).toBe('BW_STORE')
    expect(fault.message).toBe(`data/bellwater.db: recording: ${says} (${code}: words of SQLite)`)
    expect(fault.hint).toMatch(hint)
    expect(fault.cause).toBe(cause)
  })

  it('a fault passes as it is, and what is no error at all is told too', () => {
    const fault = new Fault('BW_STORE_VERSION', 'x', '')
    expect(storeFault('f', 'recording', fault)).toBe(fault)
    expect(() =>
      orStoreFault('f', 'reading', () => {
        throw new RangeError('odd')
      }),
    ).toThrow('f: reading: the store failed (odd)')
  })
})
