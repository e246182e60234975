import {
  closeSync,
  existsSync,
  openSync,
  readFileSync,
  truncateSync,
  writeFileSync,
  writeSync,
} from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { openForWriting } from '../../../daemon/storage/sqlite/connection.js'
import { migrate } from '../../../daemon/storage/sqlite/migrate.js'
import { migrations } from '../../../daemon/storage/sqlite/migrations/all.js'
import { openStore } from '../../../daemon/storage/sqlite/open-store.js'
import { SqliteRecorder } from '../../../daemon/storage/sqlite/recorder.js'
import { silentLog } from '../../../daemon/ports/log.js'
import { batch, reading } from '../../contracts/example-batch.js'
import { FakeClock } from '../../support/fake-clock.js'
import { temporaryFolders } from '../temporary-folder.js'
import { startChild } from './children/run-child.js'
import { makeReadOnly, mountSmallDisk } from './small-disk.js'

const newFolder = temporaryFolders()
const open = (folder: string) => openStore({ folder, clock: new FakeClock() })
const fault = (message: string | RegExp) =>
  expect.objectContaining({ code: 'BW_STORE', message: expect.stringMatching(message) })

/** Batches that fill about 100 kB each, until one is refused; returns how many were taken and why it ended. */
function fill(recorder: SqliteRecorder | ReturnType<typeof open>['recorder']): {
  taken: number
  thrown: unknown
} {
  for (let taken = 0; taken < 500; taken += 1) {
    try {
      recorder.commit(fat(taken))
    } catch (thrown) {
      return { taken, thrown }
    }
  }
  throw new Error('this disk does not get full')
}

const fat = (number: number) =>
  batch({
    readings: [reading(number)],
    upserts: [{ kind: 'fat', id: `${number}`, doc: 'x'.repeat(100_000) }],
  })

describe('a full disk', () => {
  it('refuses the batch with a fault, keeps what was committed, and goes on when there is room again', () => {
    const folder = newFolder()
    const disk = mountSmallDisk(folder, 2048)
    const db = openForWriting(join(folder, 'bellwater.db'))
    try {
      migrate(db, 'bellwater.db', migrations, silentLog)
      const recorder = new SqliteRecorder(db, 'bellwater.db', new FakeClock())
      // Where nothing can be mounted, SQLite itself is told to take the disk for full: the same code, less of the way.
      if (disk === null) db.pragma('max_page_count = 300')
      const { taken, thrown } = fill(recorder)
      expect(taken).toBeGreaterThan(3)
      expect(thrown).toEqual(fault(/^bellwater.db: recording: the disk is full \(SQLITE_FULL: /))
      expect(recorder.restore().docs).toHaveLength(taken)
      expect(recorder.restore().newest).toEqual([reading(taken - 1)])
      expect(() => recorder.commit(fat(taken))).toThrow(fault(/the disk is full/))
      disk?.resize(64 * 1024)
      if (disk === null) db.pragma('max_page_count = 100000')
      recorder.commit(fat(taken))
      expect(recorder.restore().newest).toEqual([reading(taken)])
      expect(recorder.restore().docs).toHaveLength(taken + 1)
      expect(db.pragma('integrity_check', { simple: true })).toBe('ok')
      recorder.close()
    } finally {
      db.close()
      disk?.unmount()
    }
  })

  it('does not keep the daemon from closing', () => {
    const folder = newFolder()
    const store = open(folder)
    const recorder = store.recorder as SqliteRecorder
    recorder.db.pragma('max_page_count = 60')
    fill(recorder)
    recorder.db.pragma('query_only = 1')
    store.close()
    open(folder).close()
  })

  it('or a limit on the size of files: everything said to be kept is kept, and it goes on without the limit', async () => {
    const folder = newFolder()
    // 512-byte blocks (POSIX ulimit): 256 KiB, less than the write-ahead log grows to before it is taken in.
    const limited = startChild('commit-batches', [folder], 'ulimit -f 512')
    const said: string[] = []
    for await (const line of limited.lines) said.push(line)
    const last = said.pop() ?? ''
    expect(last).toMatch(
      /^BW_STORE: .*bellwater\.db: recording: the disk (does not read or write|is full) \(SQLITE_/,
    )
    expect(said.length).toBeGreaterThan(3)
    const more = startChild('commit-batches', [folder, String(said.length + 5)])
    for await (const line of more.lines) said.push(line)
    expect(said.map(Number)).toEqual(said.map((_, place) => place + 1))
    const store = open(folder)
    expect(store.recorder.restore().pending).toHaveLength(said.length)
    store.close()
  })
})

describe('no place for a store', () => {
  it('a missing folder is made, with those above it', () => {
    const folder = join(newFolder(), 'a', 'b')
    open(folder).close()
    expect(existsSync(join(folder, 'bellwater.db'))).toBe(true)
  })

  it('a file in place of the folder, or of one above it', () => {
    const file = join(newFolder(), 'data')
    writeFileSync(file, '')
    expect(() => open(file)).toThrow(fault(`^${file}: is a file, not a folder$`))
    expect(() => open(join(file, 'deep'))).toThrow(fault('a part of this path is a file, not a folder$'))
  })

  it('a read-only folder, and a new one below it', () => {
    const folder = newFolder()
    const undo = makeReadOnly(folder)
    try {
      expect(() => open(folder)).toThrow(fault(`^${folder}: the daemon may not write here`))
      expect(() => open(join(folder, 'data'))).toThrow(
        fault(/cannot be made: .* read-only|may not make this folder/),
      )
    } finally {
      undo()
    }
  })

  it('a folder in place of the file', () => {
    const folder = newFolder()
    open(join(folder, 'bellwater.db')).close()
    expect(() => open(folder)).toThrow(fault('bellwater.db: opening: the store cannot be opened'))
  })
})

describe('a damaged store', () => {
  it('is told as such when its header is gone', () => {
    const { folder, file } = filled()
    const handle = openSync(file, 'r+')
    writeSync(handle, Buffer.alloc(100, 0x55), 0, 100, 0)
    closeSync(handle)
    const damaged = readFileSync(file)
    expect(() => open(folder)).toThrow(fault('the file is no store'))
    expect(readFileSync(file).equals(damaged)).toBe(true)
  })

  it('is told as such when half of it is gone', () => {
    const { folder, file } = filled()
    truncateSync(file, 4096 * 4)
    expect(() => {
      const store = open(folder)
      store.recorder.restore()
      store.close()
    }).toThrow(fault('the store is damaged'))
  })

  function filled() {
    const folder = newFolder()
    const store = open(folder)
    for (let number = 0; number < 10; number += 1) store.recorder.commit(fat(number))
    store.close()
    return { folder, file: store.file }
  }
})
