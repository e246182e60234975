import { writeSync } from 'node:fs'
import { setImmediate } from 'node:timers/promises'
import { openPast } from '../../../daemon/assembly/past.js'
import { silentLog } from '../../../daemon/ports/log.js'
import type { Batch } from '../../../daemon/ports/recorder.js'
import { openStore } from '../../../daemon/storage/sqlite/open-store.js'
import { openHistory } from '../../../daemon/storage/sqlite/reader-thread.js'
import { epochMs, hours } from '../../../daemon/units/time.js'
import { FakeClock } from '../../support/fake-clock.js'
import { pastFarm } from '../past-farm.js'

/**
 * Goes on with the tasks that the store holds, and says after each slice how many computed values it changed, once that is
 * committed; `done` when no task is left.
 */
const [folder = '', now = ''] = process.argv.slice(2)
const clock = new FakeClock(epochMs(Number(now)))
const store = openStore({ folder, clock })
const commit = (batch: Batch): void => {
  store.recorder.commit(batch)
  const { gone = [], readings = [] } = batch.computedAnew ?? {}
  // Straight to the pipe: what is said was committed before.
  writeSync(1, `${gone.length + readings.length}\n`)
}
const history = openHistory(store.file)
const plan = pastFarm()
const past = openPast({
  ...{ recorder: { ...store.recorder, restore: () => store.recorder.restore(), commit } },
  ...{ history, plan: () => plan, clock, log: silentLog },
})
clock.advance(hours(1))
while (past.past.recomputations().some(({ finished }) => !finished)) {
  await past.idle()
  await setImmediate()
}
writeSync(1, 'done\n')
await past.close()
await history.close()
store.close()
