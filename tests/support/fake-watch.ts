import type { Act } from '../../daemon/journal/act.js'
import type { AnswerLine, Line } from '../../daemon/journal/line.js'
import type { Clock } from '../../daemon/ports/clock.js'
import type { Snapshot, WatchDoor } from '../../daemon/ports/door.js'
import type { CallRecord, History, JournalLine, Sample } from '../../daemon/ports/history.js'
import type { Past } from '../../daemon/ports/past.js'
import type { Computed } from '../../daemon/readings/computed.js'
import type { Arrival } from '../../daemon/readings/reading.js'
import { signalName, type SignalName } from '../../daemon/readings/signal.js'
import { Fault } from '../../daemon/errors.js'
import { between, milliseconds, type EpochMs } from '../../daemon/units/time.js'

/** A watch that holds still: it shows what a test puts there and writes down what people do. */
export interface FakeDoor extends WatchDoor {
  readonly acts: readonly Act[]
  readonly entered: readonly Arrival[]
  show(snapshot: Snapshot): void
  tell(line: Line): void
  listeners(): number
}

/** Acknowledging works as in the real watch as far as pages see it; an older occurrence is refused (AL-7). */
export function fakeDoor(clock: Clock, first: Snapshot): FakeDoor {
  let shown = first
  const acts: Act[] = []
  const entered: Arrival[] = []
  const listeners = new Set<(line: Line) => void>()
  const moved = (): Snapshot => {
    const passed = between(shown.at, clock.now())
    return passed === 0 ? shown : { ...shown, at: clock.now() }
  }
  const answer = (act: Act, accepted: boolean, text: string): AnswerLine => {
    const line: AnswerLine = {
      at: clock.now(),
      event: 'answer',
      to: act.by ?? 'page',
      accepted,
      text,
      do: act.do,
    }
    for (const tell of listeners) tell(line)
    return line
  }
  const acknowledge = (act: Extract<Act, { do: 'acknowledge' }>): AnswerLine => {
    const alarm = shown.alarms.find(({ id }) => id === act.alarm)
    if (alarm === undefined || (act.occurrence !== null && alarm.occurrence !== act.occurrence)) {
      return answer(act, false, 'That is over; nothing is left to acknowledge.')
    }
    const next = {
      ...alarm,
      state: 'ACKED' as const,
      acknowledgedBy: act.by,
      acknowledgedAt: clock.now(),
      calling: null,
    }
    shown = { ...shown, alarms: shown.alarms.map((one) => (one === alarm ? next : one)) }
    return answer(act, true, `Thank you. You have ${alarm.where}.`)
  }
  return {
    acts,
    entered,
    snapshot: moved,
    subscribe(tell) {
      listeners.add(tell)
      return () => void listeners.delete(tell)
    },
    async act(act) {
      acts.push(act)
      return act.do === 'acknowledge' ? acknowledge(act) : answer(act, true, 'Done.')
    },
    async enter(arrival) {
      entered.push(arrival)
      const { by = 'page' } = arrival
      return { at: clock.now(), event: 'answer', to: by, accepted: true, text: 'Entered.', do: 'log' }
    },
    how: (signal) => howOf(shown, signal, clock.now()),
    show: (snapshot) => void (shown = snapshot),
    tell(line) {
      for (const tell of listeners) tell(line)
    },
    listeners: () => listeners.size,
  }
}

export interface Recorded {
  readonly samples?: readonly Sample[]
  readonly journal?: readonly JournalLine[]
  readonly calls?: readonly CallRecord[]
}

/** A history of what the test says was recorded; spans are half-open, as the port promises. */
export function fakeHistory(recorded: Recorded = {}): History {
  const within = <Of extends { readonly at: number }>(all: readonly Of[] = [], from: number, to: number) =>
    all.filter(({ at }) => at >= from && at < to)
  return {
    samples: async (_signal, from, to, atMost) => within(recorded.samples, from, to).slice(-atMost),
    rawSamples: async (_signal, from, to, atMost) => within(recorded.samples, from, to).slice(-atMost),
    readings: async (_signals, _from, to) => ({ readings: [], to }),
    usableBefore: async () => [],
    journal: async (from, to, atMost) => within(recorded.journal, from, to).slice(-atMost),
    calls: async (from, to, atMost) => within(recorded.calls, from, to).slice(-atMost),
    close: async () => {},
  }
}

const untouched = (): never => {
  throw new Fault('BW_CALC', 'this past stays as it is')
}

/** A past that nobody changes. */
export const fakePast: Past = {
  correct: untouched,
  undo: untouched,
  recompute: untouched,
  corrections: () => [],
  recomputations: () => [],
}

/** A computed signal of the snapshot, made up from what its place shows besides. */
function howOf(shown: Snapshot, signal: SignalName, at: EpochMs): Computed | null {
  const found = shown.signals.find((one) => one.signal === signal)
  if (found?.computed !== true || typeof found.value !== 'number') return null
  const oxygen = shown.signals.find((one) => one.signal === `${found.place}/dissolved_oxygen`)
  const value = typeof oxygen?.value === 'number' ? oxygen.value : null
  const { unit, quality, low, high, limit, reasons } = found
  const measured = {
    name: 'oxygen',
    label: 'oxygen',
    signal: oxygen === undefined ? null : signalName(found.place, 'dissolved_oxygen'),
    value,
    unit: 'mg/L',
  }
  const assumed = { name: 'salinity', label: 'salinity', signal: null, value: 0, unit: 'g/kg' }
  return {
    ...{ signal, at, value: found.value, unit, quality, low, high, limit, reasons },
    inputs: [
      { ...measured, age: milliseconds(14_000), quality: oxygen?.quality ?? 'bad', assumed: null },
      { ...assumed, age: null, quality: 'good', assumed: 'fresh water' },
    ],
    equation: 'OX-10',
    source: 'mass balance, well mixed',
    until: null,
  }
}
