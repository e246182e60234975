import { after, between, days, type EpochMs } from '../units/time.js'
import { batteryFigures, loop, machineIds, type BlowerId, type MachineId } from './larkfield.js'

/** A motor or heater: whether it runs, and since when it has done so or not. */
export interface Machine {
  readonly runs: boolean
  readonly since: EpochMs
}

export interface Machines {
  /** Whether the mains are there. */
  readonly mains: Machine
  readonly of: Readonly<Record<MachineId, Machine>>
  /** Wh left in the battery that carries the watch and its probes */
  readonly battery: number
}

/** What happens to the machines from outside. */
export interface MachineOrders {
  readonly mains: boolean
  readonly stopped: ReadonlySet<MachineId>
  /** 0 tight, 1 wide open: air escapes before the stones */
  readonly openLine: Readonly<Record<BlowerId, number>>
  /** 0 free, 1 shut: the pump's strainer is covered */
  readonly blockedPump: number
}

/** All running for a day, battery full. */
export function machinesRunning(at: EpochMs): Machines {
  const running = { runs: true, since: after(at, days(-1)) }
  return {
    mains: running,
    of: { 'blower-a': running, 'blower-b': running, 'main-pump': running, heater: running },
    battery: batteryFigures.capacity,
  }
}

const switched = (machine: Machine, runs: boolean, at: EpochMs): Machine =>
  machine.runs === runs ? machine : { runs, since: at }

/** The machines after `seconds`, from the moment `at` on. Without mains everything stops but what the battery carries. */
export function turnMachines(
  before: Machines,
  orders: MachineOrders,
  at: EpochMs,
  seconds: number,
): Machines {
  const of = { ...before.of }
  for (const id of machineIds) of[id] = switched(of[id], orders.mains && !orders.stopped.has(id), at)
  const power = orders.mains ? batteryFigures.charger : -batteryFigures.load
  const battery = Math.min(batteryFigures.capacity, Math.max(0, before.battery + (power * seconds) / 3600))
  return { mains: switched(before.mains, orders.mains, at), of, battery }
}

const secondsSince = (machine: Machine, at: EpochMs): number => Math.max(0, between(machine.since, at) / 1000)

/** 0 to 1: how far something has come up, or how much of it is left while it runs down. */
function pace(machine: Machine, at: EpochMs, times: { up: number; down: number }): number {
  const elapsed = secondsSince(machine, at)
  return machine.runs ? 1 - Math.exp(-elapsed / times.up) : Math.exp(-elapsed / times.down)
}

/** Motors draw some six times their current for the first half second (common practice). */
const inrush = (machine: Machine, at: EpochMs): number => 1 + 5 * Math.exp(-secondsSince(machine, at) / 0.4)

export const blowerFigures: Readonly<Record<BlowerId, { current: number; pressure: number }>> = {
  'blower-a': { current: 2.2, pressure: 18 },
  'blower-b': { current: 2, pressure: 17 },
}

/** Share of the full air that reaches the stones: nothing much comes out at depth once the line is open. */
export function airShare(machines: Machines, orders: MachineOrders, blower: BlowerId, at: EpochMs): number {
  return pace(machines.of[blower], at, { up: 4, down: 2 }) * (1 - orders.openLine[blower]) ** 2
}

/** kPa in the air line of a blower (gauge). A line wide open keeps an eighth of it. */
export function airPressure(
  machines: Machines,
  orders: MachineOrders,
  blower: BlowerId,
  at: EpochMs,
): number {
  const tight = 1 - 0.875 * orders.openLine[blower]
  return blowerFigures[blower].pressure * tight * pace(machines.of[blower], at, { up: 3, down: 1.5 })
}

/** A. A side-channel blower works less when it blows into the open (common practice). */
export function blowerCurrent(
  machines: Machines,
  orders: MachineOrders,
  blower: BlowerId,
  at: EpochMs,
): number {
  const machine = machines.of[blower]
  if (!machine.runs) return 0
  return blowerFigures[blower].current * (1 - 0.3 * orders.openLine[blower]) * inrush(machine, at)
}

/** L/min through the main pump; nothing when the sump is so low that it draws air. */
export function pumpFlow(machines: Machines, orders: MachineOrders, sumpDepth: number, at: EpochMs): number {
  if (sumpDepth < loop.pumpDryBelow) return 0
  return loop.flow * (1 - orders.blockedPump) * pace(machines.of['main-pump'], at, { up: 6, down: 3 })
}

/** A of the main pump: a centrifugal pump that moves less water, or none, draws less (common practice). */
export function pumpCurrent(
  machines: Machines,
  orders: MachineOrders,
  sumpDepth: number,
  at: EpochMs,
): number {
  const machine = machines.of['main-pump']
  if (!machine.runs) return 0
  const work = sumpDepth < loop.pumpDryBelow ? 0.45 : 1 - 0.35 * orders.blockedPump
  return 2.6 * work * inrush(machine, at)
}

/** % */
export const batteryCharge = (machines: Machines): number =>
  (100 * machines.battery) / batteryFigures.capacity
/** min that the battery would carry the watch from now */
export const batteryRuntime = (machines: Machines): number => (60 * machines.battery) / batteryFigures.load
