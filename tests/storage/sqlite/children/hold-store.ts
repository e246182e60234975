import { Fault } from '../../../../daemon/errors.js'
import { openStore } from '../../../../daemon/storage/sqlite/open-store.js'
import { epochMs } from '../../../../daemon/units/time.js'
import { FakeClock } from '../../../support/fake-clock.js'

/** Opens the store of the folder given and keeps it until it is killed. */
const [folder = ''] = process.argv.slice(2)
try {
  openStore({ folder, clock: new FakeClock(epochMs(Date.UTC(2027, 0, 10, 2, 14))) })
  process.stdout.write('holding\n')
  process.stdin.resume()
} catch (thrown) {
  process.stdout.write(`${thrown instanceof Fault ? thrown.code : String(thrown)}\n`)
}
