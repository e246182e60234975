import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { openStore } from '../../../daemon/storage/sqlite/open-store.js'
import { openHistory, waitingMax } from '../../../daemon/storage/sqlite/reader-thread.js'
import { epochMs } from '../../../daemon/units/time.js'
import { batch, oxygen, reading } from '../../contracts/example-batch.js'
import { historyContract } from '../../contracts/history-contract.js'
import { FakeClock } from '../../support/fake-clock.js'
import { temporaryFolders } from '../temporary-folder.js'

const newFolder = temporaryFolders()

historyContract('SQLite, on a thread of its own', (clock) => {
  const store = openStore({ folder: newFolder(), clock })
  const history = openHistory(store.file)
  return {
    recorder: store.recorder,
    history,
    dispose: async () => {
      await history.close()
      store.close()
    },
  }
})

describe('the reading thread', () => {
  const ask = (history: ReturnType<typeof openHistory>) =>
    history.samples(oxygen, epochMs(0), epochMs(1e15), 10)

  it('does not hold up who commits meanwhile', async () => {
    const store = openStore({ folder: newFolder(), clock: new FakeClock() })
    store.recorder.commit(batch({ readings: Array.from({ length: 50_000 }, (_, at) => reading(at)) }))
    const history = openHistory(store.file)
    await ask(history)
    let answered = false
    const asked = Promise.all(Array.from({ length: 20 }, () => ask(history))).then(() => (answered = true))
    let commits = 0
    // Read on this thread, all would be answered by the end of the first turn.
    while (!answered) {
      store.recorder.commit(batch({ readings: [reading(1_000_000 + commits)] }))
      commits += 1
      await new Promise(setImmediate)
    }
    await asked
    expect(commits).toBeGreaterThan(1)
    await history.close()
    store.close()
  })

  it('says what is wrong when there is no store, and finds it once it is there', async () => {
    const folder = newFolder()
    const history = openHistory(join(folder, 'bellwater.db'))
    await expect(ask(history)).rejects.toMatchObject({
      code: 'BW_STORE',
      message: expect.stringContaining(`${folder}/bellwater.db: opening: the store cannot be opened`),
    })
    const store = openStore({ folder, clock: new FakeClock() })
    expect(await ask(history)).toEqual([])
    await history.close()
    store.close()
  })

  it('answers what was asked before it is closed, and nothing after', async () => {
    const store = openStore({ folder: newFolder(), clock: new FakeClock() })
    store.recorder.commit(batch({ readings: [reading(5)] }))
    const history = openHistory(store.file)
    const asked = ask(history)
    await history.close()
    expect(await asked).toHaveLength(1)
    await expect(ask(history)).rejects.toMatchObject({ code: 'BW_STORE' })
    store.close()
  })

  it('refuses to pile up questions without end', async () => {
    const store = openStore({ folder: newFolder(), clock: new FakeClock() })
    const history = openHistory(store.file)
    const asked = Array.from({ length: waitingMax }, () => ask(history))
    await expect(ask(history)).rejects.toMatchObject({ hint: 'ask again later' })
    await Promise.all(asked)
    expect(await ask(history)).toEqual([])
    await history.close()
    store.close()
  })
})
