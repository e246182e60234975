import { describe, expect, it } from 'vitest'
import {
  airPressure,
  batteryCharge,
  batteryRuntime,
  blowerCurrent,
  machinesRunning,
  pumpCurrent,
  pumpFlow,
  turnMachines,
  type MachineOrders,
} from '../../daemon/practice/machines.js'
import { quietOrders } from '../../daemon/practice/mishaps.js'
import { after, epochMs, seconds } from '../../daemon/units/time.js'

const at = epochMs(Date.parse('2027-01-10T00:00:00Z'))
const well = quietOrders.machines
const dark: MachineOrders = { ...well, mains: false }
const running = machinesRunning(at)
const later = (span: number) => after(at, seconds(span))

describe('without mains', () => {
  const stopped = turnMachines(running, dark, at, 5)

  it('everything stops, and runs down within seconds', () => {
    expect(Object.values(stopped.of).map(({ runs }) => runs)).toEqual([false, false, false, false])
    expect(blowerCurrent(stopped, dark, 'blower-a', later(1))).toBe(0)
    expect(airPressure(stopped, dark, 'blower-a', later(1))).toBeGreaterThan(5)
    expect(airPressure(stopped, dark, 'blower-a', later(10))).toBeLessThan(0.1)
    expect(pumpFlow(stopped, dark, 60, later(3))).toBeGreaterThan(20)
    expect(pumpFlow(stopped, dark, 60, later(30))).toBeLessThan(0.1)
  })

  it('the battery carries the watch for 240 Wh / 45 W = 5.3 h, and not a minute longer', () => {
    expect(batteryRuntime(running)).toBe(320)
    let machines = running
    for (let minute = 0; minute < 160; minute++)
      machines = turnMachines(machines, dark, later(minute * 60), 60)
    expect(batteryCharge(machines)).toBeCloseTo(50, 6)
    for (let minute = 0; minute < 200; minute++)
      machines = turnMachines(machines, dark, later(minute * 60), 60)
    expect(batteryCharge(machines)).toBe(0)
  })

  it('the battery fills again afterwards, and no further than full', () => {
    const low = { ...running, battery: 120 }
    const hour = turnMachines(low, well, at, 3600)
    expect(hour.battery).toBe(180)
    expect(turnMachines(hour, well, at, 7200).battery).toBe(240)
  })
})

describe('when the mains returns', () => {
  const restarted = turnMachines(turnMachines(running, dark, at, 5), well, later(60), 5)

  it('motors draw several times their current for a moment, then settle', () => {
    expect(blowerCurrent(restarted, well, 'blower-a', later(60))).toBeCloseTo(6 * 2.2, 6)
    expect(blowerCurrent(restarted, well, 'blower-a', later(65))).toBeCloseTo(2.2, 3)
    expect(pumpCurrent(restarted, well, 60, later(60))).toBeCloseTo(6 * 2.6, 6)
  })

  it('pressure and flow come up over seconds', () => {
    expect(airPressure(restarted, well, 'blower-b', later(60))).toBe(0)
    expect(airPressure(restarted, well, 'blower-b', later(90))).toBeCloseTo(17, 2)
    expect(pumpFlow(restarted, well, 60, later(66))).toBeCloseTo(90 * (1 - Math.exp(-1)), 6)
  })
})

describe('faults of one machine', () => {
  it('an open line loses pressure while the blower goes on drawing current', () => {
    const open = { ...well, openLine: { 'blower-a': 1, 'blower-b': 0 } }
    expect(airPressure(running, open, 'blower-a', at)).toBeLessThan(3)
    expect(blowerCurrent(running, open, 'blower-a', at)).toBeGreaterThan(1.3)
    expect(airPressure(running, open, 'blower-b', at)).toBeGreaterThan(16)
  })

  it('a covered strainer takes flow, and a little current', () => {
    const blocked = { ...well, blockedPump: 0.8 }
    expect(pumpFlow(running, blocked, 60, at)).toBeCloseTo(18, 6)
    expect(pumpCurrent(running, blocked, 60, at)).toBeLessThan(2.2)
    expect(pumpCurrent(running, blocked, 60, at)).toBeGreaterThan(1.5)
  })

  it('a dry pump moves nothing and draws half', () => {
    expect(pumpFlow(running, well, 11, at)).toBe(0)
    expect(pumpCurrent(running, well, 11, at)).toBeCloseTo(1.17, 6)
  })
})
