import { openServer, type Server } from '../http/server.js'
import type { Stage } from '../http/contract.js'
import type { FarmPlan } from '../farm/plan.js'
import type { History } from '../ports/history.js'
import type { Log } from '../ports/log.js'
import type { Past } from '../ports/past.js'
import { openMembers, type Members } from '../storage/sqlite/members.js'
import { openStore, type Store } from '../storage/sqlite/open-store.js'
import { openHistory } from '../storage/sqlite/reader-thread.js'
import type { Settings } from '../settings/schema.js'
import { soon } from '../system/soon.js'
import { onCalendar } from '../system/schedule.js'
import type { SystemClock } from '../system/clock.js'
import { openWatch, type Change, type Watch } from '../watch/live.js'
import { answerLinks } from '../http/answer-links.js'
import { openCaller } from './caller.js'
import { openEars } from './ears.js'
import { openPast } from './past.js'
import { webKey } from './web-key.js'
import { webOptions } from './web-options.js'
import { announceOn } from './announce.js'

/** What a running watch is made of, and how it is ended. */
export interface Running {
  /** Where the page is. */
  readonly page: string
  /** Where probes publish. */
  readonly broker: string
  readonly watch: Watch
  /** Another configuration takes effect, whole (contract 3). What is bound to ports and folders stays as it was opened. */
  reload(next: Configuration, change: Change): void
  close(): Promise<void>
}

export interface Configuration {
  readonly settings: Settings
  readonly plan: FarmPlan
}

export interface Request {
  readonly configuration: Configuration
  readonly clock: SystemClock
  readonly log: Log
  /** What is staged in practice; null when nothing is. */
  readonly stage: () => Stage | null
}

interface Closable {
  close(): void | Promise<void>
}

/**
 * Opens everything and wires it: first what keeps, last what brings, so that nothing arrives before it can be kept.
 * Closes in the reverse order; also when something fails to open.
 */
export async function assemble({ configuration, clock, log, stage }: Request): Promise<Running> {
  const undo: Closable[] = []
  const keep = <T extends Closable>(part: T): T => {
    undo.unshift(part)
    return part
  }
  const close = async (): Promise<void> => {
    for (const part of undo.splice(0)) await part.close()
  }
  try {
    return await open({ configuration, clock, log, stage }, keep, close)
  } catch (cause) {
    await close()
    throw cause
  }
}

type Keep = <T extends Closable>(part: T) => T

async function open(
  { configuration, clock, log, stage }: Request,
  keep: Keep,
  close: () => Promise<void>,
): Promise<Running> {
  let current = configuration
  const { settings } = configuration
  const { store, history, past } = openRecord({ settings, plan: () => current.plan, clock, log }, keep)
  const key = webKey(settings.store.folder)
  const caller = keep(
    openCaller({
      settings,
      plan: () => current.plan,
      links: answerLinks(key),
      clock,
      log: log.child({ room: 'channels' }),
    }),
  )
  const watch = openWatch(configuration.plan, {
    recorder: past.recorder,
    clock,
    log: log.child({ room: 'watch' }),
    soon,
    call: (message) => caller.call(message),
    turn: (line) => caller.turn(line),
    commitWithin: settings.store.commit,
  })
  keep({ close: () => watch.close() })
  caller.report((attempt, outcome, detail) => watch.outcome(attempt, outcome, detail))
  const ears = keep(
    await openEars({ current: () => current, watch, clock, log: log.child({ room: 'mqtt' }) }),
  )
  // Before the ears close: their last acknowledgements leave with the last commit.
  keep({ close: () => watch.close() })
  caller.speak(ears.publisher)
  keep(announceOn(ears.publisher, { watch, current: () => current, log: log.child({ room: 'mqtt' }) }))
  keepRetention(store, { settings, clock, log }, keep)
  const server = keep(
    await openPage({
      ...{ settings, plan: () => current.plan, key, watch, history, past: past.past, clock, log, stage },
      members: keep(openMembers(settings.store.folder)),
    }),
  )
  caller.knowPage(settings.web.public_url ?? server.url)
  watch.finishCalls()
  return {
    page: server.url,
    broker: ears.address.includes('://') ? ears.address : `mqtt://${ears.address}`,
    watch,
    reload: (next, change) => {
      current = next
      watch.reconfigure(next.plan, change)
      ears.refresh()
    },
    close,
  }
}

/** What is kept, how it is read again, and what of it may still change. */
function openRecord(
  { settings, plan, clock, log }: Pick<PageRequest, 'settings' | 'plan' | 'clock' | 'log'>,
  keep: Keep,
) {
  const store = keep(openStore({ folder: settings.store.folder, clock, log: log.child({ room: 'storage' }) }))
  const history = keep(openHistory(store.file))
  const { recorder } = store
  const past = keep(openPast({ recorder, history, plan, clock, log: log.child({ room: 'past' }) }))
  return { store, history, past }
}

/** Old readings are swept out once a night (UTC, so that no change of the clock skips or doubles it). */
function keepRetention(
  store: Store,
  { settings, clock, log }: Pick<Request, 'clock' | 'log'> & { settings: Settings },
  keep: Keep,
): void {
  const { readings } = settings.store.keep
  if (readings === 'forever') return
  const work = async (): Promise<void> => void (await store.sweep(clock.now(), readings))
  keep(onCalendar({ name: 'retention', when: '17 3 * * *', work, log: log.child({ room: 'storage' }) }))
}

interface PageRequest extends Pick<Request, 'clock' | 'log' | 'stage'> {
  readonly settings: Settings
  readonly plan: () => FarmPlan
  readonly key: Uint8Array
  readonly watch: Watch
  readonly history: History
  readonly past: Past
  readonly members: Members
}

const openPage = ({
  settings,
  plan,
  key,
  watch,
  history,
  past,
  members,
  clock,
  log,
  stage,
}: PageRequest): Promise<Server> =>
  openServer({
    options: webOptions(settings, key),
    door: watch,
    history,
    past,
    // Asked anew each time: a password set while the watch runs holds at once. Only people of the farm come in.
    access: { member: (id) => (plan().people.has(id) ? members.member(id) : null) },
    clock,
    log: log.child({ room: 'http' }),
    plan,
    stage,
    unready: () => (watch.lastCommit() === null ? ['nothing has been recorded yet'] : []),
  })
