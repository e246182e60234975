import { randomBytes } from 'node:crypto'
import type { Member } from '../../daemon/http/access/session.js'
import type { WebOptions } from '../../daemon/http/options.js'
import type { ServerParts } from '../../daemon/http/parts.js'
import { silentLog } from '../../daemon/ports/log.js'
import type { Snapshot } from '../../daemon/ports/door.js'
import { days } from '../../daemon/units/time.js'
import { FakeClock } from '../support/fake-clock.js'
import { fakeDoor, fakeHistory, fakePast, type FakeDoor, type Recorded } from '../support/fake-watch.js'
import { larkfieldPlan, nightTime, outage } from '../support/web-farm.js'

export interface FarmServer {
  readonly parts: ServerParts
  readonly door: FakeDoor
  readonly clock: FakeClock
}

/** Everything the HTTP side needs around a farm in trouble; `more` says what a test wants otherwise. */
export function farmServer(
  more: {
    readonly options?: Partial<WebOptions>
    readonly members?: readonly Member[]
    readonly recorded?: Recorded
    readonly snapshot?: Snapshot
    readonly parts?: Partial<ServerParts>
  } = {},
): FarmServer {
  const clock = new FakeClock(nightTime)
  const door = fakeDoor(clock, more.snapshot ?? outage)
  const members = more.members ?? []
  const parts: ServerParts = {
    options: {
      listen: { host: '127.0.0.1', port: 0 },
      publicUrl: null,
      lookWithoutLogin: true,
      actWithoutLogin: true,
      sessionLasts: days(30),
      key: randomBytes(32),
      pageFolder: '/nowhere',
      ...more.options,
    },
    door,
    history: fakeHistory(more.recorded),
    past: fakePast,
    access: { member: (id) => members.find((member) => member.id === id) ?? null },
    clock,
    log: silentLog,
    plan: () => larkfieldPlan,
    stage: () => null,
    unready: () => [],
    ...more.parts,
  }
  return { parts, door, clock }
}

/** What our own page sends with every act. */
export const actHeaders = { 'x-bellwater-act': '1' }
