import { createTask, validate, type Logger } from 'node-cron'
import { assert } from '../errors.js'
import type { Log } from '../ports/log.js'

export interface Scheduled {
  /** Ends it. A run that is on its way is waited for. */
  close(): Promise<void>
}

export interface CalendarWork {
  readonly name: string
  /** Five fields, `17 3 * * *`: minute, hour, day of month, month, day of week, always in UTC. */
  readonly when: string
  readonly work: () => Promise<void>
  readonly log: Log
}

/**
 * Calendar work: what belongs to a time of day, such as the nightly sweep. Always in UTC, where no hour is missing or
 * comes twice: in a zone with daylight saving, node-cron 4.6 skips the whole repeated hour. It also waits until the
 * clock has caught up when it is set back, and drops what a jump forward or a suspend passed over. So the work must
 * bear being late or left out for a day; anything with an interval, and every due time of the watch, runs on the Clock.
 * A run that fails is logged and the next one comes as planned; a run still busy when the next is due is left alone.
 */
export function onCalendar({ name, when, work, log }: CalendarWork): Scheduled {
  assert(validate(when) && when.trim().split(/\s+/).length === 5, `${name}: "${when}" is no five-field time`)
  let running: Promise<void> = Promise.resolve()
  const task = createTask(
    when,
    () => {
      running = run({ name, when, work, log })
      return running
    },
    { name, timezone: 'UTC', noOverlap: true, suppressMissedWarning: true, logger: asLogger(log) },
  )
  void task.start()
  return {
    close: async () => {
      await task.destroy()
      await running
    },
  }
}

async function run({ name, work, log }: CalendarWork): Promise<void> {
  try {
    await work()
  } catch (error) {
    log.error({ work: name, error }, 'calendar work failed')
  }
}

/** What node-cron says for itself goes to our log instead of the console. */
function asLogger(log: Log): Logger {
  const words = (said: string | Error) => (said instanceof Error ? { error: said } : { said })
  return {
    debug: (said) => log.debug(words(said), 'the calendar says'),
    info: (said) => log.debug({ said }, 'the calendar says'),
    warn: (said) => log.warn({ said }, 'the calendar warns'),
    error: (said) => log.error(words(said), 'the calendar failed'),
  }
}
