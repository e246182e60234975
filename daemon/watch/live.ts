import { Fault } from '../errors.js'
import type { FarmPlan } from '../farm/plan.js'
import { signalPlanFor } from '../farm/on-demand.js'
import type { Act } from '../journal/act.js'
import type { AnswerLine, Line, MessageLine, SwitchLine } from '../journal/line.js'
import type { Clock } from '../ports/clock.js'
import type { WatchDoor } from '../ports/door.js'
import type { Delivered, Intake } from '../ports/intake.js'
import type { Log } from '../ports/log.js'
import type { Recorder } from '../ports/recorder.js'
import type { Arrival } from '../readings/reading.js'
import { after, seconds, type EpochMs, type Milliseconds } from '../units/time.js'
import { advance, wakeAt } from './advance.js'
import { howComputed } from './computing.js'
import { takeChanges } from './docs.js'
import type { DeliveryOutcome, WatchEvent } from './event.js'
import { addDocs, addEffects, emptyBatch, isEmpty, toCommit } from './pending-batch.js'
import { reconfigure, resume, unfinished } from './restart.js'
import { snapshotOf } from './snapshot.js'
import type { World } from './world.js'

/** What the watch needs around it. */
export interface Surroundings {
  readonly recorder: Recorder
  readonly clock: Clock
  readonly log: Log
  /** Runs something as soon as what has arrived by now was taken in. */
  readonly soon: (run: () => void) => void
  /** Makes a call; its outcome comes back through `Watch.outcome`. */
  readonly call: (message: MessageLine) => void
  readonly turn: (line: SwitchLine) => void
  /** The longest that a quiet batch waits for company. */
  readonly commitWithin: Milliseconds
}

/** The living watch: takes messages and acts, commits, acknowledges, calls. */
export interface Watch extends WatchDoor, Intake {
  outcome(attempt: number, outcome: DeliveryOutcome, detail: string): void
  trouble(of: string, broken: boolean, why: string): void
  /** Takes another plan into force and keeps who changed what, and why (AL-28, AL-46). */
  reconfigure(plan: FarmPlan, change: Change): void
  /** Makes the calls whose fate a stop left unknown. Once, after everything is open. */
  finishCalls(): void
  /** Commits what waits; nothing is taken afterwards. */
  close(): void
  /** When the last commit succeeded: proof of work for a watchdog. */
  readonly lastCommit: () => EpochMs | null
}

export interface Change {
  readonly by: string
  readonly why: string
  /** What was and what is, by path; secrets not shown. */
  readonly differences: readonly unknown[]
}

/** A broker lets only so many unacknowledged messages out (mosquitto: 20): commit before its window is full. */
const heldMessages = 10
/**
 * A sender with one message in flight, working off what it stored while we were away, would get one acknowledgement per
 * quiet batch. Its next message follows our acknowledgement by the way there and back, so that is not kept waiting.
 */
const answeredWithin = 50
/** More than this waiting for the store: no more is read from the brokers. Bounds memory to some tens of megabytes. */
const waitingMost = 20_000
const retryStoreAfter = seconds(1)

export function openWatch(plan: FarmPlan, around: Surroundings): Watch {
  const { clock, recorder, log } = around
  const restored = recorder.restore()
  const world = resume(
    plan,
    { docs: restored.docs, newest: restored.newest, until: restored.lastCommit },
    clock.now(),
  )
  const state: State = {
    world,
    batch: emptyBatch(),
    queue: [],
    pumping: false,
    closed: false,
    storeFailing: false,
    lastCommit: null,
    listeners: new Set(),
    sent: new Set(),
    roomTold: [],
    wake: { setFor() {}, close() {} },
  }
  state.wake = clock.alarmClock(() => pump(state, around))
  clock.onStep((by) => {
    log.warn({ by }, 'the clock of this machine was set; waiting times go on as they were')
    put(state, around, { kind: 'clock-step', by })
    put(state, around, {
      kind: 'own-trouble',
      of: 'clock',
      broken: true,
      why: `the clock was set by ${Math.round(by / 1000)} s`,
    })
  })
  schedulePump(state, around)
  return doorOf(state, around, () => {
    for (const id of unfinished(state.world)) {
      const entry = restored.pending.find((one) => one.id === id)
      if (entry === undefined)
        put(state, around, {
          kind: 'delivery',
          attempt: id,
          outcome: 'temporary',
          detail: 'its text was lost',
        })
      else around.call(entry.doc as MessageLine)
    }
  })
}

type Waiting =
  | { readonly kind: 'message'; readonly message: Delivered }
  | { readonly kind: 'event'; readonly event: WatchEvent }
  | { readonly kind: 'asked'; readonly event: WatchEvent; readonly told: (answer: AnswerLine) => void }

interface State {
  world: World
  batch: ReturnType<typeof emptyBatch>
  queue: Waiting[]
  pumping: boolean
  closed: boolean
  storeFailing: boolean
  lastCommit: EpochMs | null
  readonly listeners: Set<(line: Line) => void>
  /** Calls made although their batch could not be committed: not made again when it can. */
  readonly sent: Set<number>
  roomTold: (() => void)[]
  wake: ReturnType<Clock['alarmClock']>
}

function doorOf(state: State, around: Surroundings, finishCalls: () => void): Watch {
  return {
    take: (message) => enqueue(state, around, { kind: 'message', message }),
    room: () => hasRoom(state),
    onRoom: (tell) => void state.roomTold.push(tell),
    snapshot: () => snapshotOf(state.world, around.clock.now()),
    subscribe: (tell) => {
      state.listeners.add(tell)
      return () => state.listeners.delete(tell)
    },
    act: (act) => ask(state, around, act),
    enter: (arrival) => enter(state, around, arrival),
    how: (signal) => howComputed(state.world, signal, around.clock.now()),
    outcome: (attempt, outcome, detail) => put(state, around, { kind: 'delivery', attempt, outcome, detail }),
    trouble: (of, broken, why) => put(state, around, { kind: 'own-trouble', of, broken, why }),
    reconfigure: (plan, change) => {
      pump(state, around)
      const now = around.clock.now()
      state.world = reconfigure(state.world, plan, now)
      state.batch.journal.push({ at: now, event: 'change', about: null, doc: change })
      state.batch.since ??= now
      state.batch.urgent = true
      pump(state, around)
    },
    finishCalls,
    close: () => {
      pump(state, around)
      if (!isEmpty(state.batch)) commit(state, around)
      state.closed = true
      state.wake.close()
    },
    lastCommit: () => state.lastCommit,
  }
}

const hasRoom = (state: State): boolean => state.queue.length + state.batch.readings.length < waitingMost

const put = (state: State, around: Surroundings, event: WatchEvent): void =>
  enqueue(state, around, { kind: 'event', event })

function ask(state: State, around: Surroundings, act: Act): Promise<AnswerLine> {
  return new Promise((told) => enqueue(state, around, { kind: 'asked', event: { kind: 'act', act }, told }))
}

function enter(state: State, around: Surroundings, arrival: Arrival): Promise<AnswerLine> {
  const plan = signalPlanFor(state.world.plan, arrival.signal)
  const answer = { at: around.clock.now(), event: 'answer' as const, to: arrival.by ?? '', do: 'log' }
  if ('unknown' in plan)
    return Promise.resolve({ ...answer, accepted: false, text: `Refused: ${plan.unknown}.` })
  return new Promise((told) => {
    const done = (): void => told({ ...answer, accepted: true, text: `Entered ${arrival.signal}.` })
    enqueue(state, around, {
      kind: 'message',
      message: { topic: '', arrivals: [arrival], acknowledge: done },
    })
    state.batch.urgent = true
  })
}

function enqueue(state: State, around: Surroundings, one: Waiting): void {
  if (state.closed) return
  state.queue.push(one)
  schedulePump(state, around)
}

/** Everything that arrives until then goes into one turn: batches form by themselves when much arrives. */
function schedulePump(state: State, around: Surroundings): void {
  if (state.pumping) return
  state.pumping = true
  around.soon(() => pump(state, around))
}

function pump(state: State, around: Surroundings): void {
  state.pumping = false
  if (state.closed) return
  const now = around.clock.now()
  const taken = state.queue
  state.queue = []
  const answers: (() => void)[] = []
  for (const run of runsOf(taken)) {
    const effects = advance(state.world, run.events, now)
    addEffects(state.batch, effects, now)
    state.batch.acknowledge.push(...run.acknowledge)
    if (run.told !== null) {
      const answer = effects.find((effect): effect is AnswerLine => effect.event === 'answer')
      const { told } = run
      if (answer !== undefined) answers.push(() => told(answer))
    }
  }
  if (taken.length === 0) addEffects(state.batch, advance(state.world, [], now), now)
  if (state.batch.acknowledge.length > 0) state.batch.since ??= now
  state.batch.acknowledge.push(...answers)
  commitWhenDue(state, around, now)
}

interface TurnInput {
  readonly events: WatchEvent[]
  readonly acknowledge: (() => void)[]
  readonly told: ((answer: AnswerLine) => void) | null
}

/** An act has a turn of its own, so that its answer is its own; everything else goes together. */
function runsOf(taken: readonly Waiting[]): TurnInput[] {
  const runs: TurnInput[] = []
  let open: TurnInput | null = null
  for (const one of taken) {
    if (one.kind === 'asked') {
      runs.push({ events: [one.event], acknowledge: [], told: one.told })
      open = null
      continue
    }
    if (open === null) {
      open = { events: [], acknowledge: [], told: null }
      runs.push(open)
    }
    if (one.kind === 'event') open.events.push(one.event)
    else {
      for (const arrival of one.message.arrivals) open.events.push({ kind: 'arrival', arrival })
      open.acknowledge.push(one.message.acknowledge)
    }
  }
  return runs
}

/** At once when an alarm or a person is concerned or a broker's window fills; else a quiet batch waits for company. */
function commitWhenDue(state: State, around: Surroundings, now: EpochMs): void {
  const { batch } = state
  const waited = batch.since === null ? 0 : now - batch.since
  const due =
    batch.urgent ||
    batch.acknowledge.length >= heldMessages ||
    waited >= around.commitWithin ||
    isAnswered(state, batch)
  if (!isEmpty(batch) && due) commit(state, around)
  const wakes = [wakeAt(state.world)]
  if (state.batch.since !== null) {
    wakes.push(
      after(
        state.storeFailing ? now : state.batch.since,
        state.storeFailing ? retryStoreAfter : around.commitWithin,
      ),
    )
  }
  const known = wakes.filter((at): at is EpochMs => at !== null)
  state.wake.setFor(known.length === 0 ? null : (Math.min(...known) as EpochMs))
}

/** What comes right after an acknowledgement comes from a sender that waits for each before it sends the next. */
function isAnswered(state: State, batch: State['batch']): boolean {
  if (batch.acknowledge.length === 0 || batch.since === null || state.lastCommit === null) return false
  return batch.since - state.lastCommit <= answeredWithin
}

function commit(state: State, around: Surroundings): void {
  addDocs(state.batch, takeChanges(state.world))
  try {
    around.recorder.commit(toCommit(state.batch))
  } catch (cause) {
    storeFailed(state, around, cause)
    return
  }
  const { batch } = state
  state.batch = emptyBatch()
  state.lastCommit = around.clock.now()
  // Only now: what follows may tell others that this is safe (architecture: one transaction).
  for (const acknowledge of batch.acknowledge) acknowledge()
  for (const message of batch.messages) if (!state.sent.delete(message.id)) around.call(message)
  for (const line of batch.switches) around.turn(line)
  for (const line of batch.lines) for (const tell of state.listeners) tell(line)
  if (state.storeFailing) {
    state.storeFailing = false
    around.log.warn({}, 'the store takes readings again')
    put(state, around, { kind: 'own-trouble', of: 'store', broken: false, why: '' })
  }
  if (state.roomTold.length > 0 && hasRoom(state)) for (const tell of state.roomTold.splice(0)) tell()
}

/**
 * Nothing is acknowledged and nothing forgotten: the batch stays and is tried again. But calls do not wait for a disk:
 * better called twice than not at all.
 */
function storeFailed(state: State, around: Surroundings, cause: unknown): void {
  const why = cause instanceof Fault ? cause.message : String(cause)
  if (!state.storeFailing) {
    state.storeFailing = true
    around.log.error({ err: cause }, 'the store does not take what happens; calls are made without it')
    put(state, around, { kind: 'own-trouble', of: 'store', broken: true, why })
  }
  state.batch.urgent = false
  for (const message of state.batch.messages) {
    if (state.sent.has(message.id)) continue
    state.sent.add(message.id)
    around.call(message)
  }
  for (const line of state.batch.switches.splice(0)) around.turn(line)
}
