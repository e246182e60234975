import { writeSync } from 'node:fs'
import { openStore } from '../../../../daemon/storage/sqlite/open-store.js'
import { signalName } from '../../../../daemon/readings/signal.js'
import { epochMs } from '../../../../daemon/units/time.js'
import { batch, reading } from '../../../contracts/example-batch.js'
import { FakeClock } from '../../../support/fake-clock.js'

/**
 * Commits batch after batch, each of five readings, a journal line, a piece of state and a call, and says the number
 * of each once it is committed. Goes on where the store says that the one before it stopped. Ends on a fault, which it says.
 */
const [folder = '', most = 'Infinity'] = process.argv.slice(2)
const start = Date.UTC(2027, 0, 10)
const clock = new FakeClock(epochMs(start))
const { recorder } = openStore({ folder, clock })
const done = Number(recorder.restore().docs.find(({ kind }) => kind === 'counter')?.doc ?? 0)

try {
  for (let number = done + 1; number <= Number(most); number += 1) {
    const at = start + number * 1000
    recorder.commit(
      batch({
        readings: [0, 1, 2, 3, 4].map((probe) =>
          reading(at + probe, { signal: signalName('tank-1', `probe-${probe}`) }),
        ),
        journal: [{ at: epochMs(at), event: 'state', about: null, doc: { number } }],
        upserts: [{ kind: 'counter', id: 'only', doc: number }],
        outbox: [{ id: number, at: epochMs(at), channel: 'text', to: 'first-keeper', doc: { number } }],
      }),
    )
    // Straight to the pipe: what is said was committed before, and nothing said waits in a buffer of ours.
    writeSync(1, `${number}\n`)
  }
} catch (thrown) {
  writeSync(
    1,
    `${thrown instanceof Error && 'code' in thrown ? String(thrown.code) : 'no fault'}: ${String(thrown)}\n`,
  )
}
