import { spawn } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { createInterface } from 'node:readline'
import { fileURLToPath } from 'node:url'
import { afterEach, describe, expect, it } from 'vitest'
import { openPast } from '../../daemon/assembly/past.js'
import { silentLog } from '../../daemon/ports/log.js'
import type { Arrival } from '../../daemon/readings/reading.js'
import type { SignalName } from '../../daemon/readings/signal.js'
import { openStore } from '../../daemon/storage/sqlite/open-store.js'
import { openHistory } from '../../daemon/storage/sqlite/reader-thread.js'
import {
  after,
  days,
  epochMs,
  hours,
  milliseconds,
  minutes,
  seconds,
  type EpochMs,
} from '../../daemon/units/time.js'
import { openWatch } from '../../daemon/watch/live.js'
import { batch } from '../contracts/example-batch.js'
import { FakeClock } from '../support/fake-clock.js'
import { late, oxygen, pastFarm, reading, saturation, saturationOf, temperature } from './past-farm.js'

const plan = pastFarm()
const start = epochMs(Date.UTC(2027, 0, 10))

const undo: (() => void | Promise<void>)[] = []
afterEach(async () => {
  for (const one of undo.splice(0).reverse()) await one()
})

function newFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'bellwater-past-'))
  undo.push(() => rmSync(folder, { recursive: true, force: true }))
  return folder
}

/** The real watch on the real store, with its reading thread. */
function farm(folder: string, clock: FakeClock) {
  const store = openStore({ folder, clock })
  const history = openHistory(store.file)
  const past = openPast({ recorder: store.recorder, history, plan: () => plan, clock, log: silentLog })
  const watch = openWatch(plan, {
    ...{ recorder: past.recorder, clock, log: silentLog, soon: (run: () => void) => run() },
    ...{ call: () => undefined, turn: () => undefined, commitWithin: seconds(1) },
  })
  const close = async (): Promise<void> => {
    watch.close()
    await past.close()
    await history.close()
    store.close()
  }
  const rows = async (signal: SignalName, from: EpochMs, to: EpochMs) =>
    (await history.readings([signal], from, to, 1e6)).readings
  return { history, past, watch, store, close, rows }
}

const arrival = (signal: SignalName, at: EpochMs, value: number): Arrival => ({
  ...{ signal, value, measuredAt: at, claimed: 'good', retained: false, source: 'probe' },
})

/** Oxygen of step `n`, each half a minute: a slow fall with a wave on it. */
const oxygenAt = (step: number): number => 7 - step / 100 + Math.sin(step / 9) / 3

describe('a probe that buffered an hour and delivers it late', () => {
  it('afterwards has the right computed values of that hour, once a minute, and no hole', async () => {
    const clock = new FakeClock(start)
    const one = farm(newFolder(), clock)
    undo.push(() => one.close())
    const tell = (arrivals: readonly Arrival[]): Promise<void> =>
      new Promise((acknowledge) => {
        one.watch.take({ topic: 'larkfield', arrivals, acknowledge })
        clock.advance(seconds(1))
      })
    const hour = () => one.rows(saturation, after(start, hours(1)), after(start, hours(2)))
    const stored: Arrival[] = []
    for (let step = 0; step < 360; step += 1) {
      const at = after(start, seconds(step * 30))
      const isAway = step >= 120 && step < 240
      clock.advance(milliseconds(at - clock.now()))
      const measured = arrival(oxygen, at, oxygenAt(step))
      if (isAway) stored.push(measured)
      await tell([...(isAway ? [] : [measured]), arrival(temperature, at, 26)])
    }
    expect((await hour()).at(-1)).toMatchObject({ value: null, quality: 'bad' })
    for (let from = 0; from < stored.length; from += 20) await tell(stored.slice(from, from + 20))
    clock.advance(minutes(5))
    await one.past.idle()
    const filled = await hour()
    expect(filled.length).toBeGreaterThanOrEqual(60)
    for (const { at, value, quality } of filled) {
      expect(value).toBeCloseTo(saturationOf(oxygenAt(Math.floor((at - start) / 30_000))), 6)
      expect(quality).toBe('good')
    }
    const apart = filled.slice(1).map(({ at }, index) => at - (filled[index]?.at ?? at))
    expect(Math.max(...apart)).toBeLessThanOrEqual(minutes(1.5))
    expect(left(one)).toEqual([])
  })
})

const left = (one: ReturnType<typeof farm>) =>
  one.store.recorder.restore().docs.filter(({ kind }) => kind === 'recompute')

describe('killed between two slices', () => {
  it('goes on where it was, and leaves nothing out', { timeout: 120_000 }, async () => {
    const folder = newFolder()
    const span = days(20)
    const noted = after(start, span)
    prepare(folder, span)
    let kills = 0
    let changed = 0
    for (let ended = false; !ended; kills += 1) {
      const child = startChild([folder, String(noted)])
      let slices = 0
      for await (const line of child.lines) {
        if (line === 'done') ended = true
        else changed += Number(line)
        slices += 1
        // A little further each time, so that it gets to its end.
        if (!ended && slices === 3 + 4 * kills) child.process.kill('SIGKILL')
      }
      await child.ended
    }
    expect(kills).toBeGreaterThan(3)
    const clock = new FakeClock(after(noted, days(1)))
    const one = farm(folder, clock)
    undo.push(() => one.close())
    expect(left(one)).toEqual([])
    const rows = await one.rows(saturation, start, noted)
    // One a minute and none but good ones: no slice was passed over, none cut at its edge.
    expect(rows.length).toBe(span / 60_000)
    expect(rows.filter(({ quality }) => quality !== 'good')).toEqual([])
    expect(changed).toBeGreaterThanOrEqual(rows.length)
    one.past.past.recompute({ signals: '*/*', from: start, to: noted, by: 'first-keeper' })
    while (one.past.past.recomputations().some(({ finished }) => !finished)) await one.past.idle()
    expect(one.past.past.recomputations()).toMatchObject([{ finished: true, changed: 0 }])
  })
})

/** A store with days of temperature, of which the oxygen came all at once at the end, and nobody has computed it yet. */
function prepare(folder: string, span: number): void {
  const clock = new FakeClock(after(start, milliseconds(span)))
  const store = openStore({ folder, clock })
  const history = openHistory(store.file)
  const past = openPast({ recorder: store.recorder, history, plan: () => plan, clock, log: silentLog })
  for (let day = 0; day < span; day += days(1)) {
    const minutesOfDay = Array.from({ length: 1440 }, (_, minute) => start + day + minute * 60_000)
    past.recorder.commit(
      batch({
        readings: minutesOfDay.flatMap((at) => [
          late(oxygen, at, 7 + Math.sin(at / 3e6), hours(500)),
          reading(temperature, at, 24 + Math.sin(at / 2e7)),
        ]),
      }),
    )
  }
  expect(past.past.recomputations()).toHaveLength(1)
  store.close()
}

function startChild(args: readonly string[]) {
  const program = fileURLToPath(new URL('./children/compute-anew.ts', import.meta.url))
  const child = spawn(process.execPath, ['--import', import.meta.resolve('tsx'), program, ...args], {
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  const ended = new Promise<void>((resolve) => child.on('exit', () => resolve()))
  return { process: child, lines: createInterface({ input: child.stdout })[Symbol.asyncIterator](), ended }
}
