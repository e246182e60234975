import { describe, expect, it } from 'vitest'
import { systemClock, timerMax } from '../../daemon/system/clock.js'
import { after, days, hours, milliseconds, minutes, seconds } from '../../daemon/units/time.js'
import { FakeMachine } from './fake-machine.js'

function started() {
  const machine = new FakeMachine()
  const clock = systemClock(machine)
  const steps: number[] = []
  clock.onStep((by) => steps.push(by))
  return { machine, clock, steps, start: clock.now() }
}

describe('the time of day', () => {
  it('is the wall clock of the machine', () => {
    const { machine, clock, start } = started()
    machine.pass(90_000)
    expect(clock.now()).toBe(after(start, seconds(90)))
    expect(clock.now()).toBe(machine.wall())
  })

  it('follows a correction forward', () => {
    const { machine, clock, steps, start } = started()
    machine.setWall(1500)
    expect(clock.now()).toBe(start + 1500)
    expect(steps).toEqual([])
  })

  it('stands still while the wall clock, set back a little, catches up', () => {
    const { machine, clock, steps, start } = started()
    machine.setWall(-1500)
    expect(clock.now()).toBe(start)
    machine.pass(1000)
    expect(clock.now()).toBe(start)
    machine.pass(1000)
    expect(clock.now()).toBe(start + 500)
    expect(steps).toEqual([])
  })

  it('follows a slow clock that is slewed for hours without a step (500 ppm, adjtime(3))', () => {
    const { machine, clock, steps } = started()
    for (let second = 0; second < 4 * 3600; second += 1) {
      machine.pass(1000)
      machine.setWall(0.5)
    }
    expect(clock.now()).toBe(machine.wall())
    expect(steps).toEqual([])
  })

  it('a correction of exactly 2 s is followed, a millisecond more is a step', () => {
    const { machine, clock, steps } = started()
    machine.setWall(2000)
    clock.now()
    expect(steps).toEqual([])
    machine.setWall(2001)
    clock.now()
    expect(steps).toEqual([2001])
  })
})

describe('a step', () => {
  it.each([3_600_000, -3_600_000, 5_000, -5_000])(
    'of %i ms is told once, before the new time is given',
    (by) => {
      const { machine, clock, start } = started()
      const seen: number[] = []
      clock.onStep((told) => seen.push(told, clock.now()))
      machine.passUnnoticed(700)
      machine.setWall(by)
      expect(clock.now()).toBe(start + 700 + by)
      expect(seen).toEqual([by, start + 700 + by])
      machine.pass(10_000)
      expect(seen).toHaveLength(2)
    },
  )

  it('is noticed by itself when nobody asks for the time', () => {
    const { machine, steps } = started()
    machine.setWall(-hours(1))
    machine.pass(1000)
    expect(steps).toEqual([-3_600_000])
  })

  it('does not touch the monotonic clock', () => {
    const { machine, clock } = started()
    const before = clock.monotonic()
    machine.setWall(days(3))
    machine.pass(500)
    expect(clock.monotonic() - before).toBe(500)
  })

  it('a process stopped between two readings does not take its own pause for one', () => {
    const { machine, clock, steps } = started()
    let stops = 1
    machine.onWall = () => {
      if (stops > 0) machine.passUnnoticed(30_000)
      stops -= 1
    }
    clock.now()
    expect(steps).toEqual([])
  })
})

describe('suspend', () => {
  it('is time that passed, and no step', () => {
    const { machine, clock, steps, start } = started()
    machine.suspend(hours(8))
    expect(clock.now()).toBe(after(start, hours(8)))
    expect(steps).toEqual([])
  })

  it('is told from a clock set while asleep', () => {
    const { machine, clock, steps, start } = started()
    machine.suspend(hours(8))
    machine.setWall(-60_000)
    expect(clock.now()).toBe(start + hours(8) - 60_000)
    expect(steps).toEqual([-60_000])
  })
})

describe('an alarm clock', () => {
  it('wakes once when its time has come, not before', () => {
    const { machine, clock, start } = started()
    const woken: number[] = []
    clock.alarmClock(() => woken.push(clock.now())).setFor(after(start, minutes(5)))
    machine.pass(minutes(5) - 1)
    expect(woken).toEqual([])
    machine.pass(hours(1))
    expect(woken).toEqual([after(start, minutes(5))])
  })

  it('takes the later setting in place of the earlier one, and null for none', () => {
    const { machine, clock, start } = started()
    const woken: number[] = []
    const alarmClock = clock.alarmClock(() => woken.push(clock.now()))
    alarmClock.setFor(after(start, minutes(1)))
    alarmClock.setFor(after(start, minutes(3)))
    machine.pass(minutes(4))
    expect(woken).toEqual([after(start, minutes(3))])
    alarmClock.setFor(after(start, minutes(5)))
    alarmClock.setFor(null)
    machine.pass(minutes(10))
    expect(woken).toHaveLength(1)
  })

  it('set for the past wakes soon, but not on the stack of the one who sets it', () => {
    const { machine, clock, start } = started()
    const woken: number[] = []
    clock.alarmClock(() => woken.push(clock.now())).setFor(after(start, seconds(-5)))
    expect(woken).toEqual([])
    machine.pass(0)
    expect(woken).toHaveLength(1)
  })

  it('reaches beyond what setTimeout can (30 days)', () => {
    const { machine, clock, start } = started()
    const woken: number[] = []
    clock.alarmClock(() => woken.push(clock.now())).setFor(after(start, days(30)))
    expect(machine.pendingTimers.every((timer) => timer.at - clock.monotonic() <= timerMax)).toBe(true)
    machine.pass(days(30) - 1)
    expect(woken).toEqual([])
    machine.pass(1)
    expect(woken).toEqual([after(start, days(30))])
  })

  it('wakes within a second of waking up when its time passed in suspend', () => {
    const { machine, clock, start } = started()
    const woken: number[] = []
    clock.alarmClock(() => woken.push(clock.now())).setFor(after(start, hours(1)))
    machine.suspend(hours(8))
    machine.pass(1000)
    expect(woken).toHaveLength(1)
  })

  it('goes by the new time after a step forward over its time', () => {
    const { machine, clock, start } = started()
    const woken: number[] = []
    clock.alarmClock(() => woken.push(clock.now())).setFor(after(start, hours(1)))
    machine.setWall(hours(2))
    machine.pass(1000)
    expect(woken).toHaveLength(1)
  })

  it('set off by the one who is told of the step does not wake', () => {
    const { machine, clock, start } = started()
    const woken: number[] = []
    const alarmClock = clock.alarmClock(() => woken.push(clock.now()))
    alarmClock.setFor(after(start, milliseconds(500)))
    clock.onStep(() => alarmClock.setFor(null))
    machine.setWall(hours(2))
    machine.pass(5000)
    expect(woken).toEqual([])
  })

  it('may set itself again as it wakes', () => {
    const { machine, clock, start } = started()
    const woken: number[] = []
    const alarmClock = clock.alarmClock(() => {
      woken.push(clock.now() - start)
      if (woken.length < 3) alarmClock.setFor(after(clock.now(), seconds(10)))
    })
    alarmClock.setFor(after(start, seconds(10)))
    machine.pass(60_000)
    expect(woken).toEqual([10_000, 20_000, 30_000])
  })
})

describe('closing', () => {
  it('leaves no timer behind, and only alarm clocks keep a process alive', () => {
    const { machine, clock, start } = started()
    expect(machine.pendingTimers.map((timer) => timer.waits)).toEqual([false])
    clock.alarmClock(() => undefined).setFor(after(start, hours(1)))
    expect(machine.pendingTimers.filter((timer) => timer.waits)).toHaveLength(1)
    clock.close()
    expect(machine.pendingTimers).toEqual([])
  })
})

describe('on this machine', () => {
  it('agrees with the wall clock and wakes', async () => {
    const clock = systemClock()
    expect(Math.abs(clock.now() - Date.now())).toBeLessThan(50)
    await new Promise<void>((woken) => clock.alarmClock(woken).setFor(after(clock.now(), milliseconds(5))))
    clock.close()
  })
})
