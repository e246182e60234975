import type { FarmPlan } from '../farm/plan.js'
import type { Line, MessageLine } from '../journal/line.js'
import type { Reading } from '../readings/reading.js'
import { quantityOf, type SignalName } from '../readings/signal.js'
import { after, type EpochMs, type Milliseconds } from '../units/time.js'
import { advance, wakeAt } from './advance.js'
import { boundsOf } from './computing.js'
import { allDocs, newWorld } from './docs.js'
import type { DeliveryOutcome, Effect, WatchEvent } from './event.js'
import { reconfigure, resume } from './restart.js'
import type { ScriptLine, Telling } from './script.js'
import type { World } from './world.js'

interface Rehearsal {
  world: World
  readonly tell: (line: Line) => void
  telling: boolean
  /** Outcomes that the script lays ready, by person and channel. */
  readonly outcomes: Map<string, { outcome: DeliveryOutcome; after: Milliseconds }[]>
  readonly keepers: Map<string, Milliseconds>
  /** What follows from calls: outcomes known later, answers of keepers. */
  readonly later: { readonly at: EpochMs; readonly order: number; readonly event: WatchEvent }[]
  order: number
}

/**
 * Runs a script through the whole core on a virtual clock (contract 9), as fast as it goes: judge, compute, detect,
 * alarm, call out, with no broker, disk or network. The same script and plan tell the same lines.
 */
export function rehearse(
  plan: FarmPlan,
  script: readonly ScriptLine[],
  how: Telling,
  tell: (line: Line) => void,
): void {
  const [first] = script
  if (first === undefined) return
  const rehearsal: Rehearsal = {
    world: newWorld(plan, first.arrive),
    tell,
    telling: !script.some((line) => line.kind === 'report'),
    outcomes: new Map(),
    keepers: new Map(),
    later: [],
    order: 0,
  }
  if (how.every === null) rehearsal.world.tellValues = how.derived
  const waiting = [...script]
  const last = script.at(-1)?.arrive ?? first.arrive
  let tick = how.derived !== null && how.every !== null ? first.arrive : null
  while (waiting.length > 0 || rehearsal.later.some((one) => one.at <= last)) {
    const now = nextInstant(rehearsal, waiting, tick)
    if (now > last) break
    instant(rehearsal, waiting, now)
    if (tick !== null && tick <= now && how.derived !== null && how.every !== null) {
      tellComputed(rehearsal, how.derived, tick)
      tick = after(tick, how.every)
    }
  }
  // Timers due at the end still run, and what follows from them in that instant.
  perform(rehearsal, advance(rehearsal.world, [], last), last)
}

function nextInstant(rehearsal: Rehearsal, waiting: readonly ScriptLine[], tick: EpochMs | null): EpochMs {
  const times = [waiting[0]?.arrive, tick, wakeAt(rehearsal.world), ...rehearsal.later.map((one) => one.at)]
  const known = times.filter((at): at is EpochMs => at !== undefined && at !== null)
  return Math.max(rehearsal.world.now, Math.min(...known)) as EpochMs
}

/** Everything of one moment: acts, then readings in their order, then what is due. */
function instant(rehearsal: Rehearsal, waiting: ScriptLine[], now: EpochMs): void {
  const lines = takeWhile(waiting, (line) => line.arrive <= now)
  const stop = lines.findIndex((line) => line.kind === 'restart')
  const here = stop < 0 ? lines : lines.slice(0, stop)
  const events: WatchEvent[] = []
  if (here.some((line) => line.kind === 'report')) {
    perform(rehearsal, advance(rehearsal.world, [], (now - 1) as EpochMs), (now - 1) as EpochMs)
    rehearsal.telling = true
  }
  for (const line of here) prepare(rehearsal, line, events, now)
  for (const due of dueLater(rehearsal, now)) events.push(due)
  perform(
    rehearsal,
    advance(rehearsal.world, events, stop < 0 ? now : ((events.length > 0 ? now : now - 1) as EpochMs)),
    now,
  )
  if (stop >= 0) restart(rehearsal, waiting, lines.slice(stop), now)
}

function prepare(rehearsal: Rehearsal, line: ScriptLine, events: WatchEvent[], now: EpochMs): void {
  switch (line.kind) {
    case 'reading':
      events.push({ kind: 'arrival', arrival: line.arrival })
      return
    case 'log':
      events.push({ kind: 'arrival', arrival: line.arrival })
      say(rehearsal, {
        at: now,
        event: 'answer',
        to: line.by,
        accepted: true,
        do: 'log',
        text: `Entered ${line.arrival.signal}.`,
      })
      return
    case 'act':
      events.push({ kind: 'act', act: line.act })
      return
    case 'deliver': {
      const key = `${line.to} ${line.by}`
      rehearsal.outcomes.set(key, [
        ...(rehearsal.outcomes.get(key) ?? []),
        { outcome: line.outcome, after: line.after },
      ])
      return
    }
    case 'configure':
      configure(rehearsal, line, now)
      return
    case 'keeper':
      rehearsal.keepers.set(line.who, line.answersAfter)
      return
    case 'restart':
    case 'report':
    case 'end':
      return
  }
}

function configure(
  rehearsal: Rehearsal,
  line: Extract<ScriptLine, { kind: 'configure' }>,
  now: EpochMs,
): void {
  const told = { at: now, event: 'answer' as const, to: line.by, do: 'configure' }
  if (line.by === '' || line.why === '') {
    say(rehearsal, { ...told, accepted: false, text: 'Refused: a change needs who and why.' })
    return
  }
  perform(rehearsal, advance(rehearsal.world, [], (now - 1) as EpochMs), (now - 1) as EpochMs)
  rehearsal.world.now = now
  rehearsal.world = reconfigure(rehearsal.world, line.plan, now)
  say(rehearsal, { ...told, accepted: true, text: 'The new settings are in force.' })
}

/** The watch stops and starts again: what it knew goes through JSON, what arrived meanwhile is handed over at the start. */
function restart(
  rehearsal: Rehearsal,
  waiting: ScriptLine[],
  lines: readonly ScriptLine[],
  now: EpochMs,
): void {
  const [line, ...rest] = lines
  if (line?.kind !== 'restart') return
  const start = after(now, line.downFor)
  const { world } = rehearsal
  const kept = JSON.parse(
    JSON.stringify({ docs: allDocs(world), newest: newestOf(world), until: now }),
  ) as Parameters<typeof resume>[1]
  const next = resume(world.plan, kept, start)
  next.tellValues = world.tellValues
  rehearsal.world = next
  const missed = takeWhile(waiting, (one) => one.arrive < start)
  waiting.unshift(...[...rest, ...missed].map((one) => ({ ...one, arrive: start })))
  instant(rehearsal, waiting, start)
}

function newestOf(world: World): Reading[] {
  const newest: Reading[] = []
  for (const [signal, memory] of world.signals) {
    if (memory.newestAt === null || world.plan.signals.get(signal)?.origin === 'computed') continue
    const usable = memory.usable
    newest.push({
      signal,
      at: memory.newestOwn ?? memory.newestAt,
      received: memory.newestAt,
      value: usable?.value ?? null,
      quality: usable?.quality ?? 'bad',
      reasons: memory.newestReasons,
      source: 'probe',
      historical: false,
    })
  }
  return newest
}

/** Tells what came of a turn, and lets the calls in it have their outcomes. */
function perform(rehearsal: Rehearsal, effects: readonly Effect[], now: EpochMs): void {
  for (const effect of effects) {
    if (effect.event === 'reading') continue
    say(rehearsal, effect)
    if (effect.event === 'message') called(rehearsal, effect)
  }
  const due = dueLater(rehearsal, now)
  if (due.length > 0) perform(rehearsal, advance(rehearsal.world, due, now), now)
}

function called(rehearsal: Rehearsal, message: MessageLine): void {
  const ready = rehearsal.outcomes.get(`${message.to} ${message.by}`)?.shift()
  const outcome = ready?.outcome ?? 'accepted'
  const known = after(message.at, ready?.after ?? (0 as Milliseconds))
  push(rehearsal, known, { kind: 'delivery', attempt: message.id, outcome, detail: '' })
  const answersAfter = rehearsal.keepers.get(message.to)
  const reached = outcome === 'accepted' || outcome === 'delivered'
  if (answersAfter === undefined || !reached || message.kind !== 'activation' || message.alarm === undefined)
    return
  const act = {
    do: 'acknowledge' as const,
    alarm: message.alarm,
    occurrence: message.occurrence ?? null,
    by: message.to,
    via: 'reply' as const,
  }
  push(rehearsal, after(message.at, answersAfter), { kind: 'act', act })
}

function push(rehearsal: Rehearsal, at: EpochMs, event: WatchEvent): void {
  rehearsal.order += 1
  rehearsal.later.push({ at, order: rehearsal.order, event })
}

function dueLater(rehearsal: Rehearsal, now: EpochMs): WatchEvent[] {
  const due = rehearsal.later.filter((one) => one.at <= now).sort((a, b) => a.at - b.at || a.order - b.order)
  for (const one of due) rehearsal.later.splice(rehearsal.later.indexOf(one), 1)
  return due.map((one) => one.event)
}

function tellComputed(rehearsal: Rehearsal, derived: (signal: string) => boolean, at: EpochMs): void {
  const { world } = rehearsal
  for (const [name, plan] of world.plan.signals) {
    if (plan.origin !== 'computed' || !derived(name)) continue
    const memory = world.signals.get(name as SignalName)
    const told = memory !== undefined && !memory.stale && memory.newestQuality !== null
    const why = memory?.newestReasons.join('; ') ?? ''
    say(rehearsal, {
      ...{ at, event: 'value', signal: name },
      value: told ? (memory.usable?.value ?? null) : null,
      unit: world.plan.quantities.get(quantityOf(name as SignalName))?.unit ?? '',
      quality: told ? (memory.newestQuality ?? 'bad') : 'bad',
      ...(why !== '' ? { why } : told ? {} : { why: 'nothing to compute it from yet' }),
      ...boundsOf((told ? memory.bounds : null) ?? { low: null, high: null, limit: null }),
    })
  }
}

const say = (rehearsal: Rehearsal, line: Line): void => {
  if (rehearsal.telling) rehearsal.tell(line)
}

function takeWhile<T>(list: T[], holds: (one: T) => boolean): T[] {
  const end = list.findIndex((one) => !holds(one))
  return list.splice(0, end < 0 ? list.length : end)
}
