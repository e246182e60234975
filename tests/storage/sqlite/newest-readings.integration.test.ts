import { copyFileSync, existsSync } from 'node:fs'
import { basename, join } from 'node:path'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { Reading } from '../../../daemon/readings/reading.js'
import { signalName } from '../../../daemon/readings/signal.js'
import { memoryStore } from '../../../daemon/storage/memory/memory-store.js'
import { openForReading } from '../../../daemon/storage/sqlite/connection.js'
import { openStore } from '../../../daemon/storage/sqlite/open-store.js'
import { epochMs, hours, milliseconds, minutes } from '../../../daemon/units/time.js'
import { batch, reading } from '../../contracts/example-batch.js'
import { FakeClock } from '../../support/fake-clock.js'
import { temporaryFolders } from '../temporary-folder.js'

const newFolder = temporaryFolders()

/** The files as they are at this moment, as a crash would leave them. */
function crashImage(file: string): string {
  const folder = newFolder()
  for (const name of [file, `${file}-wal`])
    if (existsSync(name)) copyFileSync(name, join(folder, basename(name)))
  return folder
}

type Command =
  | {
      readonly kind: 'commit'
      readonly readings: readonly { signal: number; age: number; computed: boolean }[]
    }
  | { readonly kind: 'pass' | 'step'; readonly minutes: number }
  | { readonly kind: 'close' | 'crash' }

const command: fc.Arbitrary<Command> = fc.oneof(
  {
    weight: 4,
    arbitrary: fc.record({
      kind: fc.constant('commit' as const),
      readings: fc.array(fc.record({ signal: fc.nat(3), age: fc.nat(5 * 60), computed: fc.boolean() }), {
        maxLength: 5,
      }),
    }),
  },
  { weight: 3, arbitrary: fc.record({ kind: fc.constant('pass' as const), minutes: fc.nat(90) }) },
  {
    weight: 1,
    arbitrary: fc.record({
      kind: fc.constant('step' as const),
      minutes: fc.integer({ min: -180, max: 180 }),
    }),
  },
  { weight: 1, arbitrary: fc.record({ kind: fc.constantFrom('close' as const, 'crash' as const) }) },
)

const bySignal = (readings: readonly Reading[]) => new Map(readings.map((one) => [one.signal, one]))

describe('the newest reading of every signal', () => {
  it('is the same as in a store that keeps everything in memory, whatever is late, crashes or sets the clock', () => {
    fc.assert(
      fc.property(fc.array(command, { minLength: 1, maxLength: 12 }), (commands) => {
        const clock = new FakeClock()
        const model = memoryStore(clock).recorder
        let folder = newFolder()
        let store = openStore({ folder, clock })
        const run: Record<'close' | 'crash', () => void> = {
          close: () => store.close(),
          crash: () => {
            folder = crashImage(store.file)
            store.close()
          },
        }
        for (const one of commands) {
          if (one.kind === 'pass') clock.advance(minutes(one.minutes))
          else if (one.kind === 'step') clock.step(minutes(one.minutes))
          else if (one.kind === 'commit') {
            const readings = one.readings.map(({ signal, age, computed }) =>
              reading(clock.now() - minutes(age), {
                signal: signalName('x', `${signal}`),
                source: computed ? 'computed' : 'probe',
              }),
            )
            store.recorder.commit(batch({ readings }))
            model.commit(batch({ readings }))
          } else {
            run[one.kind]()
            store = openStore({ folder, clock })
          }
          expect(bySignal(store.recorder.restore().newest)).toEqual(bySignal(model.restore().newest))
        }
        store.close()
      }),
      { numRuns: 40 },
    )
  })

  it('costs a start no more than the last hour of readings, and a commit no write of its own', () => {
    const clock = new FakeClock(epochMs(Date.UTC(2027, 0, 10, 0, 30)))
    const store = openStore({ folder: newFolder(), clock })
    for (let minute = 0; minute < 24 * 60; minute += 1) {
      store.recorder.commit(batch({ readings: [reading(clock.now())] }))
      clock.advance(minutes(1))
    }
    const db = openForReading(store.file)
    const mark = Number(db.prepare(`SELECT value FROM meta WHERE key = 'newest_before'`).pluck().get())
    const behind = Number(db.prepare('SELECT count(*) FROM readings WHERE t >= ?').pluck().get(mark))
    const written = Number(db.prepare('SELECT t FROM newest').pluck().get())
    db.close()
    expect(behind).toBeLessThanOrEqual(60)
    // Had each commit written it, it would be the last one's.
    expect(written).toBeLessThan(clock.now() - minutes(1))
    expect(store.recorder.restore().newest[0]?.at).toBe(clock.now() - minutes(1))
    store.close()
  })

  it('is written at once when it came late, so that a crash right after does not lose it', () => {
    const clock = new FakeClock()
    const store = openStore({ folder: newFolder(), clock })
    const late = signalName('late', 'one')
    store.recorder.commit(batch({ readings: [reading(clock.now())] }))
    clock.advance(milliseconds(hours(1)))
    store.recorder.commit(batch({ readings: [reading(clock.now())] }))
    const backlog = reading(clock.now() - hours(5), { signal: late })
    store.recorder.commit(batch({ readings: [backlog] }))
    const after = openStore({ folder: crashImage(store.file), clock })
    expect(bySignal(after.recorder.restore().newest).get(late)).toEqual(backlog)
    after.close()
    store.close()
  })
})
