import Database from 'better-sqlite3'
import { expect, it } from 'vitest'
import { seededRandom } from '../../../daemon/system/random.js'
import { openStore } from '../../../daemon/storage/sqlite/open-store.js'
import { FakeClock } from '../../support/fake-clock.js'
import { temporaryFolders } from '../temporary-folder.js'
import { startChild } from './children/run-child.js'

const newFolder = temporaryFolders()
const kills = 20

it(
  `killed ${kills} times at random moments, it has everything that it said it had, each once, and no half batch`,
  { timeout: 180_000 },
  async () => {
    const seed = Date.now() % 100_000
    const random = seededRandom(seed)
    const folder = newFolder()
    let said = 0
    for (let kill = 1; kill <= kills; kill += 1) {
      const before = said
      const child = startChild('commit-batches', [folder])
      const sayings = 1 + Math.floor(random() * 60)
      for await (const line of child.lines) {
        expect(Number(line), `seed ${seed}, kill ${kill}: "${line}"`).toBe(said + 1)
        said = Number(line)
        if (said - before === sayings) child.process.kill('SIGKILL')
      }
      expect((await child.ended).signal).toBe('SIGKILL')
      said = checkStore(folder, said, `seed ${seed}, kill ${kill}`)
    }
    expect(said).toBeGreaterThanOrEqual(kills)
  },
)

/** Opens the store as a restart does. Returns how many batches are in it: those said, and perhaps one more. */
function checkStore(folder: string, said: number, when: string): number {
  const store = openStore({ folder, clock: new FakeClock() })
  const { docs, newest, pending } = store.recorder.restore()
  const committed = Number(docs[0]?.doc)
  expect([said, said + 1], when).toContain(committed)
  expect(newest, when).toHaveLength(5)
  const numbers = Array.from({ length: committed }, (_, place) => place + 1)
  expect(
    pending.map(({ id }) => id),
    when,
  ).toEqual(numbers)
  const db = new Database(store.file, { readonly: true })
  expect(db.pragma('integrity_check', { simple: true }), when).toBe('ok')
  expect(db.prepare(`SELECT doc ->> 'number' FROM journal ORDER BY seq`).pluck().all(), when).toEqual(numbers)
  const perBatch = db.prepare('SELECT count(*) FROM readings GROUP BY t / 1000 ORDER BY t').pluck().all()
  expect(perBatch, when).toEqual(numbers.map(() => 5))
  db.close()
  store.close()
  return committed
}
