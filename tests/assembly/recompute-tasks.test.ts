import { describe, expect, it } from 'vitest'
import { tasksAfter, taskDoc, tasksIn, type Known, type Task } from '../../daemon/assembly/recompute-tasks.js'
import type { Correction } from '../../daemon/readings/correction.js'
import type { Reading } from '../../daemon/readings/reading.js'
import { epochMs, hours, minutes, seconds } from '../../daemon/units/time.js'
import { late, oxygen, reading, temperature } from './past-farm.js'

const now = epochMs(Date.UTC(2027, 0, 10, 12))
const known = (more: Partial<Known> = {}): Known => {
  let id = 0
  return {
    now,
    matters: (signal) => signal === oxygen,
    correctionsOf: () => [],
    newId: () => (id += 1),
    ...more,
  }
}
const after = (readings: readonly Reading[], tasks: readonly Task[] = [], more: Partial<Known> = {}) =>
  tasksAfter(readings, tasks, known(more))

describe('what makes values of the past due to be computed anew', () => {
  it('late readings do (AL-17), all that lie together as one task', () => {
    const from = now - hours(1)
    const [task, ...more] = after([0, 30, 60].map((second) => late(oxygen, from + second * 1000, 6)))
    expect(more).toEqual([])
    expect(task).toEqual({
      ...{ id: 1, kind: 'after', of: oxygen, from, to: from + 60_001, until: now, next: from },
      ...{ changed: 0, by: null, since: now },
    })
  })

  it.each<[string, Reading]>([
    ['one that came in time', reading(oxygen, now, 6)],
    ['a bad one', { ...late(oxygen, now - hours(1), 6), quality: 'bad' }],
    ['one without a value', { ...late(oxygen, now - hours(1), 6), value: null }],
    ['a computed one', { ...late(oxygen, now - hours(1), 6), source: 'computed' }],
    ['one that nothing is made from', late(temperature, now - hours(1), 20)],
    ['one that a broker had kept, of unknown age', reading(oxygen, now, 6, { historical: true })],
    ['an entry made at once', reading(oxygen, now - 30_000, 6, { source: 'book', received: now })],
  ])('%s does not', (_, one) => {
    expect(after([one])).toEqual([])
  })

  it('an entry of this morning, made at noon, does', () => {
    const entry = reading(oxygen, now - hours(4), 6, { source: 'book', received: now })
    expect(after([entry])).toMatchObject([{ from: now - hours(4), next: now - hours(4) }])
  })

  it('one that came in time does when a correction covers it: the watch took it as it was sent', () => {
    const correction: Correction = {
      ...{ id: 1, signal: oxygen, from: epochMs(now - hours(1)), to: now, gain: 1.1, offset: 0 },
      ...{ points: [], at: now, by: 'first-keeper', why: 'meter', undone: null },
    }
    const one = reading(oxygen, now - seconds(2), 6)
    expect(after([one], [], { correctionsOf: () => [correction] })).toHaveLength(1)
    const undone = { ...correction, undone: { at: now, by: 'first-keeper', why: 'wrong' } }
    expect(after([one], [], { correctionsOf: () => [undone] })).toEqual([])
  })

  it('more of the same late delivery extend the open task, and take it back to where they begin', () => {
    const [open] = after([late(oxygen, now - hours(1), 6)])
    const task = { ...open, next: epochMs(now - minutes(10)) } as Task
    const later = epochMs(now + 1000)
    const [more] = after([late(oxygen, now - minutes(30), 6)], [task], { now: later })
    expect(more).toMatchObject({ id: 1, from: task.from, to: now - minutes(30) + 1, next: now - minutes(30) })
    expect(more).toMatchObject({ until: later, since: now })
  })

  it('what lies far apart, or was asked for by a person, is a task of its own', () => {
    const [open] = after([late(oxygen, now - hours(5), 6)])
    const other = late(oxygen, now - hours(2), 6)
    expect(after([other], [open as Task], { newId: () => 7 })).toMatchObject([{ id: 7 }])
    const asked = { ...open, from: other.at, by: 'first-keeper' } as Task
    expect(after([other], [asked], { newId: () => 7 })).toMatchObject([{ id: 7 }])
  })
})

it('a task is the same after a restart', () => {
  const tasks = after([late(oxygen, now - hours(1), 6)])
  const docs = JSON.parse(
    JSON.stringify([...tasks.map(taskDoc), { kind: 'alarm', id: 'a', doc: 1 }]),
  ) as ReturnType<typeof taskDoc>[]
  expect(tasksIn(docs)).toEqual(tasks)
})
