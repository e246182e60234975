import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { silentLog, type Log } from '../../daemon/ports/log.js'
import { onCalendar } from '../../daemon/system/schedule.js'

/** node-cron takes its time from the globals, so these are what a test has to move. */
beforeEach(() => {
  vi.useFakeTimers()
})
afterEach(() => {
  vi.useRealTimers()
})

const hour = 3_600_000

describe('calendar work', () => {
  it('is done once a day in UTC, also when the clocks of Europe go back (2027-10-31) and forward (2027-03-28)', async () => {
    for (const start of [Date.UTC(2027, 9, 30, 12), Date.UTC(2027, 2, 27, 12)]) {
      vi.setSystemTime(start)
      const done: string[] = []
      const scheduled = onCalendar({
        name: 'sweep',
        when: '30 1 * * *',
        work: async () => void done.push(new Date().toISOString().slice(11, 16)),
        log: silentLog,
      })
      await vi.advanceTimersByTimeAsync(72 * hour)
      await scheduled.close()
      await vi.advanceTimersByTimeAsync(48 * hour)
      expect(done).toEqual(['01:30', '01:30', '01:30'])
    }
  })

  it('that fails is logged and comes again', async () => {
    vi.setSystemTime(Date.UTC(2027, 0, 10))
    const errors: unknown[] = []
    const log: Log = { ...silentLog, error: (facts, sentence) => errors.push([facts, sentence]) }
    const trouble = new RangeError('no')
    const scheduled = onCalendar({
      name: 'sweep',
      when: '0 3 * * *',
      work: () => Promise.reject(trouble),
      log,
    })
    await vi.advanceTimersByTimeAsync(48 * hour)
    await scheduled.close()
    expect(errors).toEqual([
      [{ work: 'sweep', error: trouble }, 'calendar work failed'],
      [{ work: 'sweep', error: trouble }, 'calendar work failed'],
    ])
  })

  it('is waited for at the end', async () => {
    vi.setSystemTime(Date.UTC(2027, 0, 10))
    let finish: () => void = () => undefined
    const finished = new Promise<void>((resolve) => (finish = resolve))
    const scheduled = onCalendar({
      name: 'sweep',
      when: '0 3 * * *',
      work: () => finished,
      log: silentLog,
    })
    await vi.advanceTimersByTimeAsync(4 * hour)
    let closed = false
    const closing = scheduled.close().then(() => (closed = true))
    await vi.advanceTimersByTimeAsync(1000)
    expect(closed).toBe(false)
    finish()
    await closing
  })

  it('at a time that is none is a mistake of ours', () => {
    const asked = { name: 'sweep', work: () => Promise.resolve(), log: silentLog }
    expect(() => onCalendar({ ...asked, when: '0 25 * * *' })).toThrow(
      'sweep: "0 25 * * *" is no five-field time',
    )
    expect(() => onCalendar({ ...asked, when: '* * * * * *' })).toThrow('is no five-field time')
  })
})
