import type { EpochMs } from '../units/time.js'

/** What may fall due, in the order in which things due at one instant happen (AL-41). */
export const dueKinds = [
  'shelf-end',
  'release',
  'delay',
  'stale',
  'aging',
  're-alarm',
  'grace',
  'run',
  'muted-step',
  'retry',
  'test',
  'follow-up',
  'chattering-over',
  'flood-digest',
  'flood-over',
  'morning',
  'reminder',
] as const
export type DueKind = (typeof dueKinds)[number]

interface Entry {
  readonly at: EpochMs
  readonly order: number
  /** Within one kind: cause and severe level first (AL-41). */
  readonly rank: number
  readonly kind: DueKind
  readonly key: string
}

/**
 * The watch's appointments: a binary heap whose entries may be too early. Whoever takes one asks its owner for the
 * true due time; so a due time that moves later, as a stale time does with every reading, costs nothing.
 */
export interface Dues {
  readonly heap: Entry[]
  /** The earliest entry of each appointment, so that it stands in the heap once. */
  readonly earliest: Map<string, EpochMs>
}

export const noDues = (): Dues => ({ heap: [], earliest: new Map() })

const nameOf = (kind: DueKind, key: string): string => `${kind} ${key}`

/** Makes sure that the appointment is looked at no later than `at`. */
export function appoint(dues: Dues, kind: DueKind, key: string, when: { at: EpochMs; rank: number }): void {
  const name = nameOf(kind, key)
  const known = dues.earliest.get(name)
  if (known !== undefined && known <= when.at) return
  dues.earliest.set(name, when.at)
  push(dues.heap, { at: when.at, order: dueKinds.indexOf(kind), rank: when.rank, kind, key })
}

/** Takes the next appointment due at or before `until`; undefined when there is none. */
export function takeNext(
  dues: Dues,
  until: EpochMs,
): { kind: DueKind; key: string; at: EpochMs } | undefined {
  for (;;) {
    const top = dues.heap[0]
    if (top === undefined || top.at > until) return undefined
    pop(dues.heap)
    const name = nameOf(top.kind, top.key)
    // An earlier entry for the same appointment was taken already.
    if (dues.earliest.get(name) !== top.at) continue
    dues.earliest.delete(name)
    return { kind: top.kind, key: top.key, at: top.at }
  }
}

export const nextDue = (dues: Dues): EpochMs | null => dues.heap[0]?.at ?? null

const before = (a: Entry, b: Entry): boolean => {
  if (a.at !== b.at) return a.at < b.at
  if (a.order !== b.order) return a.order < b.order
  if (a.rank !== b.rank) return a.rank < b.rank
  return a.key < b.key
}

function push(heap: Entry[], entry: Entry): void {
  let at = heap.length
  heap.push(entry)
  while (at > 0) {
    const up = (at - 1) >> 1
    const parent = heap[up]
    if (parent === undefined || !before(entry, parent)) break
    heap[at] = parent
    at = up
  }
  heap[at] = entry
}

function pop(heap: Entry[]): void {
  const last = heap.pop()
  if (last === undefined || heap.length === 0) return
  let at = 0
  for (;;) {
    let down = 2 * at + 1
    const left = heap[down]
    if (left === undefined) break
    const right = heap[down + 1]
    let child = left
    if (right !== undefined && before(right, left)) {
      child = right
      down += 1
    }
    if (!before(child, last)) break
    heap[at] = child
    at = down
  }
  heap[at] = last
}
