import { mkdtempSync, readFileSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { signalName } from '../../daemon/readings/signal.js'
import { openForWriting } from '../../daemon/storage/sqlite/connection.js'
import { openStore } from '../../daemon/storage/sqlite/open-store.js'
import { openHistory } from '../../daemon/storage/sqlite/reader-thread.js'
import { epochMs, milliseconds } from '../../daemon/units/time.js'
import { batch, reading } from '../contracts/example-batch.js'
import { FakeClock } from '../support/fake-clock.js'
import type { BenchRow, Rows } from './rows.js'

const signalCount = 100
const signalAt = (index: number) => signalName('tank-1', `quantity-${index % signalCount}`)
const start = Date.UTC(2027, 0, 10)

/** Reading `index` of a farm whose hundred probes each report every ten seconds. */
const readingAt = (index: number) =>
  reading(start + index * 100, {
    signal: signalAt(index),
    received: epochMs(start + index * 100 + 40),
    value: Math.round(700 + 200 * Math.sin(index / 997)) / 100,
  })

/** So that the names of the signals are known before the clock runs, as they are but once in the life of a store. */
const everySignalOnce = batch({
  readings: Array.from({ length: signalCount }, (_, place) =>
    reading(start - 1, { signal: signalAt(place) }),
  ),
})

interface Measured {
  readonly took: number
  /** Really handed to the disk, as the kernel counts it (proc_pid_io(5), write_bytes). */
  readonly written: number
}

function measure(work: () => void): Measured {
  const before = { time: performance.now(), written: writtenBytes() }
  work()
  return { took: performance.now() - before.time, written: writtenBytes() - before.written }
}

const writtenBytes = (): number =>
  Number(/^write_bytes: (\d+)/m.exec(readFileSync('/proc/self/io', 'utf8'))?.[1] ?? Number.NaN)

/** The recorder against bare inserts of the same rows with the same pragmas: what the whole of our care costs. */
function commitsOf(size: number, commits: number): Rows {
  const ours = inFolder((folder) => {
    const store = openStore({ folder, clock: new FakeClock(epochMs(start)) })
    store.recorder.commit(everySignalOnce)
    const batches = Array.from({ length: commits }, (_, number) =>
      batch({ readings: Array.from({ length: size }, (_, place) => readingAt(number * size + place)) }),
    )
    const measured = measure(() => {
      for (const one of batches) store.recorder.commit(one)
    })
    store.close()
    return measured
  })
  const bare = inFolder((folder) => bareCommits(folder, size, commits))
  const perCommit = (measured: Measured) => measured.took / commits
  return [
    row(`commit of ${size}`, perCommit(ours), 'ms', perCommit(ours) / perCommit(bare)),
    row(`commit of ${size}`, (size * commits * 1000) / ours.took, 'readings/s'),
    row(
      `commit of ${size}`,
      ours.written / (size * commits),
      'bytes written/reading',
      ours.written / bare.written,
    ),
  ]
}

function bareCommits(folder: string, size: number, commits: number): Measured {
  const db = openForWriting(join(folder, 'bare.db'))
  db.exec(`CREATE TABLE readings (t INTEGER, signal_id INTEGER, source INTEGER, value REAL, words TEXT, quality INTEGER,
    received_after INTEGER, reasons ANY, historical INTEGER, PRIMARY KEY (t, signal_id, source)) STRICT, WITHOUT ROWID`)
  const insert = db.prepare('INSERT INTO readings VALUES (?, ?, 0, ?, NULL, 0, ?, NULL, 0)')
  const commit = db.transaction((from: number) => {
    for (let index = from; index < from + size; index += 1) {
      const { at, received, value } = readingAt(index)
      insert.run(at, index % signalCount, value, received - at)
    }
  })
  const measured = measure(() => {
    for (let number = 0; number < commits; number += 1) commit.immediate(number * size)
  })
  db.close()
  return measured
}

const day = 86_400_000

/** A day of a hundred probes at ten seconds: how large on disk, how fast a start, a page, a sweep. */
async function aDay(): Promise<Rows> {
  const folder = mkdtempSync(join(tmpdir(), 'bellwater-bench-'))
  try {
    const clock = new FakeClock(epochMs(start))
    const count = (day / 10_000) * signalCount
    const file = recordDay(folder, clock, count)
    const { size } = statSync(file)
    const opening = performance.now()
    const store = openStore({ folder, clock })
    store.recorder.restore()
    const opened = performance.now() - opening
    const answered = await askForDay(file)
    const sweeping = performance.now()
    const { deleted } = await store.sweep(epochMs(start + day), milliseconds(1))
    const swept = performance.now() - sweeping
    store.close()
    return [
      row('on disk', size / count, 'bytes/reading'),
      row(`start on ${count} readings`, opened, 'ms'),
      row(`course of one signal out of ${count} readings, thinned to 1000`, answered, 'ms'),
      row('sweep', (deleted * 1000) / swept, 'readings/s'),
    ]
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

function recordDay(folder: string, clock: FakeClock, count: number): string {
  const store = openStore({ folder, clock })
  const perCommit = 4000
  for (let first = 0; first < count; first += perCommit) {
    clock.advance(milliseconds(perCommit * 100))
    const readings = Array.from({ length: perCommit }, (_, place) => readingAt(first + place))
    store.recorder.commit(batch({ readings }))
  }
  store.close()
  return store.file
}

async function askForDay(file: string): Promise<number> {
  const history = openHistory(file)
  // The thread is there and the file in memory, as on a page that is looked at twice.
  await history.samples(signalAt(7), epochMs(start), epochMs(start + day), 1000)
  const asking = performance.now()
  await history.samples(signalAt(7), epochMs(start), epochMs(start + day), 1000)
  const answered = performance.now() - asking
  await history.close()
  return answered
}

function inFolder<Result>(work: (folder: string) => Result): Result {
  const folder = mkdtempSync(join(tmpdir(), 'bellwater-bench-'))
  try {
    return work(folder)
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

const row = (what: string, value: number, unit: string, ratio: number | null = null): BenchRow => ({
  what,
  value,
  unit,
  ratio,
})

/** Commits of several sizes, then a day's worth. Takes a minute or so, most of it waiting for the disk. */
export async function run(): Promise<Rows> {
  // SQLite and the compiled code are warm before the first figure is taken.
  commitsOf(10, 20)
  return [
    ...commitsOf(1, 300),
    ...commitsOf(10, 300),
    ...commitsOf(100, 200),
    ...commitsOf(500, 100),
    ...(await aDay()),
  ]
}
