import { minutes, type EpochMs, type Milliseconds, type MonotonicMs } from '../units/time.js'

/** Messages of a topic that changed nothing. */
export interface TopicTally {
  readonly topic: string
  readonly kind: 'unmapped' | 'rejected'
  readonly count: number
  readonly lastAt: EpochMs
  /** Of the last one. */
  readonly reason: string
}

export interface Tally {
  /**
   * Counts a message and says whether the log may speak of it now: at most once a minute for each topic, and only so
   * often for all topics together.
   */
  note(message: Omit<TopicTally, 'count' | 'lastAt'>, at: EpochMs, tick: MonotonicMs): boolean
  /** Topics counted, the one heard last at the end. */
  topics(): readonly TopicTally[]
  counts(): Readonly<Record<TopicTally['kind'], number>>
}

/** Topics that are told apart; anybody may invent topics, so those silent for longest make room. */
const topicsMax = 1000
const oncePer: Milliseconds = minutes(1)
/** Lines a minute for all topics together: a flood of invented topics must not fill the disk with log. */
const linesPerMinute = 20

interface Entry extends TopicTally {
  readonly toldAt: MonotonicMs | null
}

/** Counts what was not mapped or not understood, with bounded memory. */
export function createTally(): Tally {
  const entries = new Map<string, Entry>()
  const totals = { unmapped: 0, rejected: 0 }
  let minute = { from: -Infinity, lines: 0 }

  function mayTell(toldAt: MonotonicMs | null, tick: MonotonicMs): boolean {
    if (toldAt !== null && tick - toldAt < oncePer) return false
    if (tick - minute.from >= oncePer) minute = { from: tick, lines: 0 }
    if (minute.lines >= linesPerMinute) return false
    minute.lines += 1
    return true
  }

  return {
    note(message, at, tick) {
      totals[message.kind] += 1
      const before = entries.get(message.topic)
      const tells = mayTell(before?.toldAt ?? null, tick)
      entries.delete(message.topic)
      const toldAt = tells ? tick : (before?.toldAt ?? null)
      entries.set(message.topic, { ...message, count: (before?.count ?? 0) + 1, lastAt: at, toldAt })
      dropOldest(entries)
      return tells
    },
    topics: () => [...entries.values()].map(({ toldAt: _, ...shown }) => shown),
    counts: () => ({ ...totals }),
  }
}

function dropOldest(entries: Map<string, Entry>): void {
  if (entries.size <= topicsMax) return
  for (const topic of entries.keys()) {
    entries.delete(topic)
    return
  }
}
