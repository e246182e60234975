import { stateWordOf } from '../alarms/memory.js'
import type { AlarmId } from '../alarms/rule.js'
import { alarmOf, keepHouse } from './remembering.js'
import type { World } from './world.js'

/**
 * Which alarm of a group came first (AL-21), decided at the end of an instant so that those of one instant are
 * compared together: the earliest condition start among those that have activated; equal times are all marked.
 */
export function markFirstOut(world: World): void {
  if (world.touched.size === 0) return
  const groups = new Set([...world.touched].flatMap((id) => world.wiring.groupsOf.get(id) ?? []))
  world.touched.clear()
  for (const name of groups) {
    const group = world.plan.groups.find((one) => one.id === name)
    if (group !== undefined) mark(world, name, group.alarms as readonly AlarmId[])
  }
}

function mark(world: World, name: string, members: readonly AlarmId[]): void {
  const marked = world.house.firstOut[name] ?? []
  if (members.every((id) => stateWordOf(alarmOf(world, id)) === 'NORM')) {
    if (marked.length > 0) keepHouse(world, { firstOut: { ...world.house.firstOut, [name]: [] } })
    return
  }
  const starts = members
    .map((id) => ({ id, since: alarmOf(world, id).open?.since }))
    .filter((one): one is { id: AlarmId; since: NonNullable<typeof one.since> } => one.since !== undefined)
  if (starts.length === 0) return
  const bestMarked = Math.min(...starts.map((one) => one.since))
  const first = starts.filter((one) => one.since === bestMarked).map((one) => one.id)
  // Once marked, only an earlier start takes the mark; that the marked one has returned meanwhile does not move it on.
  const standing = marked.filter((id) => alarmOf(world, id).open === null)
  if (standing.length > 0 || sameSet(first, marked)) return
  keepHouse(world, { firstOut: { ...world.house.firstOut, [name]: first } })
  world.effects.push({ at: world.now, event: 'first-out', group: name, alarms: first })
}

const sameSet = (a: readonly string[], b: readonly string[]): boolean =>
  a.length === b.length && a.every((one) => b.includes(one))
