import { describe, expect, it } from 'vitest'
import { openStore } from '../../../daemon/storage/sqlite/open-store.js'
import { chunkRows } from '../../../daemon/storage/sqlite/retention.js'
import { openForReading } from '../../../daemon/storage/sqlite/connection.js'
import { after, days, epochMs, hours, milliseconds } from '../../../daemon/units/time.js'
import { signalName } from '../../../daemon/readings/signal.js'
import { batch, nitrite, oxygen, reading } from '../../contracts/example-batch.js'
import { FakeClock } from '../../support/fake-clock.js'
import { temporaryFolders } from '../temporary-folder.js'

const newFolder = temporaryFolders()

function opened() {
  const clock = new FakeClock()
  const store = openStore({ folder: newFolder(), clock })
  const ago = (span: number) => clock.now() - span
  const left = () => {
    const db = openForReading(store.file)
    const rows = db
      .prepare('SELECT name, t FROM readings JOIN signals ON signals.id = signal_id ORDER BY name, t')
      .raw()
      .all()
    db.close()
    return rows
  }
  return { clock, store, ago, left }
}

describe('the sweep', () => {
  it('deletes what is older than asked, not what is just as old', async () => {
    const { clock, store, ago, left } = opened()
    const ages = [days(40), days(30) + 1, days(30), days(1), 0]
    store.recorder.commit(batch({ readings: ages.map((age) => reading(ago(age))) }))
    expect(await store.sweep(clock.now(), days(30))).toEqual({ deleted: 2 })
    expect(left()).toEqual([days(30), days(1), 0].map((age) => [oxygen, ago(age)]))
    expect(await store.sweep(clock.now(), days(30))).toEqual({ deleted: 0 })
    store.close()
  })

  it('keeps what people entered, and the last word of every signal', async () => {
    const { clock, store, ago, left } = opened()
    const silent = signalName('sump', 'water_level')
    store.recorder.commit(
      batch({
        readings: [
          reading(ago(days(400)), { signal: nitrite, source: 'book' }),
          reading(ago(days(300)), { signal: nitrite, source: 'book' }),
          reading(ago(days(90)), { signal: silent }),
          reading(ago(days(80)), { signal: silent }),
          reading(ago(0)),
        ],
      }),
    )
    const { newest } = store.recorder.restore()
    expect(await store.sweep(clock.now(), days(30))).toEqual({ deleted: 1 })
    expect(left()).toEqual([
      [silent, ago(days(80))],
      [oxygen, ago(0)],
      [nitrite, ago(days(400))],
      [nitrite, ago(days(300))],
    ])
    expect(store.recorder.restore().newest).toEqual(newest)
    store.close()
  })

  it('deletes a former last word once a newer one has taken its place', async () => {
    const { clock, store, ago, left } = opened()
    store.recorder.commit(batch({ readings: [reading(ago(days(80)))] }))
    await store.sweep(clock.now(), days(30))
    clock.advance(days(1))
    store.recorder.commit(batch({ readings: [reading(ago(0))] }))
    expect(await store.sweep(clock.now(), days(30))).toEqual({ deleted: 1 })
    expect(left()).toEqual([[oxygen, ago(0)]])
    store.close()
  })

  it('keeps the journal and the calls', async () => {
    const { clock, store } = opened()
    const at = epochMs(1)
    store.recorder.commit(
      batch({
        journal: [{ at, event: 'state', about: null, doc: 1 }],
        outbox: [{ id: 1, at, channel: 'text', to: 'first-keeper', doc: 1 }],
      }),
    )
    clock.advance(days(1000))
    await store.sweep(clock.now(), days(30))
    expect(store.recorder.restore().pending).toHaveLength(1)
    const db = openForReading(store.file)
    expect(db.prepare('SELECT count(*) FROM journal').pluck().get()).toBe(1)
    db.close()
    store.close()
  })

  it('gives way to the watch after every chunk, and may be closed in the middle', async () => {
    const { clock, store, ago } = opened()
    const many = Array.from({ length: 5 * chunkRows }, (_, place) => reading(ago(days(60)) + place))
    store.recorder.commit(batch({ readings: many }))
    store.recorder.commit(batch({ readings: [reading(ago(0))] }))
    let turns = 0
    let swept = false
    const sweeping = store.sweep(clock.now(), days(30)).then((result) => {
      swept = true
      return result
    })
    while (!swept) {
      store.recorder.commit(batch({ readings: [reading(after(clock.now(), milliseconds(turns)))] }))
      turns += 1
      await new Promise(setImmediate)
    }
    expect(await sweeping).toEqual({ deleted: 5 * chunkRows })
    expect(turns).toBeGreaterThanOrEqual(5)

    store.recorder.commit(batch({ readings: many }))
    const cut = store.sweep(clock.now(), days(30))
    store.close()
    const { deleted } = await cut
    expect(deleted).toBeGreaterThan(0)
    expect(deleted).toBeLessThan(5 * chunkRows)
  })

  it('with readings all of one millisecond ends as well', async () => {
    const { clock, store, ago } = opened()
    const at = ago(days(60))
    const names = Array.from({ length: 2 * chunkRows + 10 }, (_, place) => signalName('x', `q${place}`))
    store.recorder.commit(batch({ readings: names.map((signal) => reading(at, { signal })) }))
    store.recorder.commit(batch({ readings: names.map((signal) => reading(at + hours(1), { signal })) }))
    expect(await store.sweep(clock.now(), days(30))).toEqual({ deleted: names.length })
    store.close()
  })
})
