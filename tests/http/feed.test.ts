import { EventEmitter } from 'node:events'
import type { ServerResponse } from 'node:http'
import { describe, expect, it } from 'vitest'
import { bufferMax, listenersMax, openFeed } from '../../daemon/http/feed.js'
import { changeOf, nowOf } from '../../daemon/http/now.js'
import { silentLog } from '../../daemon/ports/log.js'
import { epochMs, hours, milliseconds, seconds } from '../../daemon/units/time.js'
import { FakeClock } from '../support/fake-clock.js'
import { fakeDoor } from '../support/fake-watch.js'
import { calmNight, larkfieldPlan, nightTime, outage } from '../support/web-farm.js'

/** A listener whose connection takes nothing while `stuck`. */
class Listener extends EventEmitter {
  readonly told: string[] = []
  stuck = false
  destroyed = false
  writableLength = 0
  write(text: string): boolean {
    this.told.push(text)
    if (this.stuck) this.writableLength += text.length
    return !this.stuck
  }
  destroy(): void {
    this.destroyed = true
    this.emit('close')
  }
  end(): void {
    this.destroy()
  }
  events(): string[] {
    return this.told.flatMap((text) => [...text.matchAll(/^event: (.*)$/gm)].map(([, event = '']) => event))
  }
}

function openAll() {
  const clock = new FakeClock(nightTime)
  const door = fakeDoor(clock, calmNight)
  let reads = 0
  const feed = openFeed({
    read: () => {
      reads += 1
      return nowOf(door.snapshot(), larkfieldPlan, null)
    },
    subscribe: (tell) => door.subscribe(tell),
    clock,
    log: silentLog,
  })
  const join = () => {
    const listener = new Listener()
    const joined = feed.join(() => listener as unknown as ServerResponse)
    return { listener, joined }
  }
  return { clock, door, feed, join, reads: () => reads }
}

describe('live changes', () => {
  it('begin with everything, then tell only what became different', () => {
    const { clock, door, join } = openAll()
    const { listener } = join()
    expect(listener.events()).toEqual(['now'])
    door.show({ ...outage, at: calmNight.at, signals: calmNight.signals })
    clock.advance(seconds(1))
    expect(listener.events()).toEqual(['now', 'change', 'beat'])
    const data = /^data: (.*)$/m.exec(listener.told[1] ?? '')?.[1] ?? ''
    expect(Object.keys(JSON.parse(data) as object).sort()).toEqual([
      'alarms',
      'at',
      'counts',
      'equipment',
      'quietSince',
    ])
  })

  it('tell nothing but beats while nothing changes, one every ten seconds', () => {
    const { clock, join } = openAll()
    const { listener } = join()
    clock.advance(seconds(41))
    expect(listener.events()).toEqual(['now', 'beat', 'beat', 'beat', 'beat', 'beat'])
    expect(listener.told[1]).toMatch(/^: /)
  })

  it('come at a bounded rate however many lines the watch tells', () => {
    const { clock, door, join } = openAll()
    const { listener } = join()
    for (let line = 0; line < 1000; line += 1) {
      door.tell({ at: clock.now(), event: 'flood', phase: 'begin', activations: line })
      door.show({ ...calmNight, quietSince: epochMs(line) })
      clock.advance(milliseconds(1))
    }
    clock.advance(seconds(1))
    expect(listener.events().filter((event) => event === 'change').length).toBeLessThanOrEqual(7)
  })

  it('number their events upwards, so that a script can tell a repeat', () => {
    const { clock, join } = openAll()
    const { listener } = join()
    clock.advance(seconds(60))
    const ids = listener.told.flatMap((text) =>
      [...text.matchAll(/^id: (\d+)$/gm)].map(([, id]) => Number(id)),
    )
    expect(ids.length).toBeGreaterThan(3)
    expect(ids).toEqual([...ids].sort((one, other) => one - other))
  })

  it('cost the watch nothing when nobody listens', () => {
    const { clock, door, join, reads } = openAll()
    clock.advance(hours(1))
    door.tell({ at: clock.now(), event: 'flood', phase: 'begin', activations: 1 })
    clock.advance(hours(1))
    expect(reads()).toBe(0)
    const { listener } = join()
    listener.destroy()
    clock.advance(hours(1))
    expect(reads()).toBe(1)
  })

  it('drop a listener that does not take them, and go on for the others', () => {
    const { clock, door, feed, join } = openAll()
    const slow = join().listener
    const quick = join().listener
    slow.stuck = true
    const long = 'x'.repeat(bufferMax / 4)
    for (let turn = 0; turn < 6; turn += 1) {
      door.show({ ...calmNight, farm: { ...calmNight.farm, name: long + turn } })
      clock.advance(seconds(1))
    }
    expect(slow.destroyed).toBe(true)
    expect(slow.writableLength).toBeLessThan(bufferMax * 1.5)
    expect(feed.listeners()).toBe(1)
    expect(quick.events().filter((event) => event === 'change')).toHaveLength(6)
  })

  it('take so many listeners and no more', () => {
    const { join } = openAll()
    const joined = Array.from({ length: listenersMax + 1 }, () => join().joined)
    expect(joined.filter((one) => one)).toHaveLength(listenersMax)
    expect(joined.at(-1)).toBe(false)
  })

  it('go on after the clock of the machine was set back two hours', () => {
    const { clock, join } = openAll()
    const { listener } = join()
    clock.step(hours(-2))
    clock.advance(seconds(30))
    expect(listener.events().filter((event) => event === 'beat').length).toBeGreaterThanOrEqual(2)
  })

  it('say that calls changed, and end with the server', () => {
    const { clock, door, feed, join } = openAll()
    const { listener } = join()
    const delivery = {
      event: 'delivery',
      to: 'first-keeper',
      by: 'text',
      outcome: 'accepted',
      id: 1,
      detail: '',
    } as const
    door.tell({ at: clock.now(), ...delivery })
    clock.advance(seconds(1))
    expect(listener.events()).toContain('call')
    feed.close()
    expect(listener.destroyed).toBe(true)
    expect(door.listeners()).toBe(0)
  })
})

describe('what changed', () => {
  const calm = nowOf(calmNight, larkfieldPlan, null)

  it('is nothing when only time passed', () => {
    expect(changeOf(calm, { ...calm, at: calm.at + 1000 })).toBeNull()
  })

  it('is only the signals that differ', () => {
    const signals = calm.signals.map((signal, index) => (index === 2 ? { ...signal, value: 7.2 } : signal))
    expect(changeOf(calm, { ...calm, signals })).toEqual({ at: calm.at, signals: [signals[2]] })
  })

  it('is everything when the signals themselves are others', () => {
    expect(changeOf(calm, { ...calm, signals: calm.signals.slice(1) })).toBe('all')
  })
})
