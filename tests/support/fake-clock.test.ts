import { describe, expect, it } from 'vitest'
import { after, epochMs, hours, minutes, seconds } from '../../daemon/units/time.js'
import { FakeClock } from './fake-clock.js'

describe('the fake clock', () => {
  it('wakes what falls due in the order of the times, at those times, and what is set on the way', () => {
    const clock = new FakeClock(epochMs(0))
    const log: string[] = []
    const note = (name: string) => () => log.push(`${name} ${clock.now()}`)
    clock.alarmClock(note('b')).setFor(epochMs(2000))
    const again = clock.alarmClock(() => {
      note('a')()
      if (clock.now() < 3000) again.setFor(after(clock.now(), seconds(2)))
    })
    again.setFor(epochMs(1000))
    clock.alarmClock(note('late')).setFor(epochMs(10_001))
    clock.advance(seconds(10))
    expect(log).toEqual(['a 1000', 'b 2000', 'a 3000'])
    expect(clock.now()).toBe(10_000)
    expect(clock.nextDue()).toBe(10_001)
  })

  it('wakes what was already due at the present time, once', () => {
    const clock = new FakeClock(epochMs(5000))
    const at: number[] = []
    clock.alarmClock(() => at.push(clock.now())).setFor(epochMs(1000))
    clock.advance(seconds(1))
    clock.advance(seconds(1))
    expect(at).toEqual([5000])
  })

  it('tells a step without letting time pass', () => {
    const clock = new FakeClock(epochMs(5000))
    const told: number[] = []
    clock.onStep((by) => told.push(by, clock.now()))
    clock.step(hours(-1))
    expect(told).toEqual([-3_600_000, 5000 - 3_600_000])
    expect(clock.monotonic()).toBe(0)
  })

  it('forgets a closed alarm clock', () => {
    const clock = new FakeClock()
    let woken = 0
    const alarmClock = clock.alarmClock(() => (woken += 1))
    alarmClock.setFor(clock.now())
    alarmClock.close()
    clock.advance(minutes(1))
    expect(woken).toBe(0)
    expect(clock.monotonic()).toBe(60_000)
  })
})
