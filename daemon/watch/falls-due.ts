import { delayDue } from '../alarms/life-cycle.js'
import type { AlarmId } from '../alarms/rule.js'
import { chatteringOverAt, type ChatterMemory } from '../callout/chattering.js'
import { floodOverAt } from '../callout/flood.js'
import { runDue } from '../callout/ladder.js'
import { onDuty } from '../callout/roster.js'
import type { SignalName } from '../readings/signal.js'
import { after, days, type EpochMs } from '../units/time.js'
import { testDueOf, testIsOverdue } from './acts.js'
import { changeAlarm } from './alarm-changes.js'
import { staleDueOf, wentStale } from './arrivals.js'
import { graceOver } from './consequences.js'
import { chatteringMayBeOver, floodDigestIsDue, floodIsOver, morningIsDue } from './digests.js'
import { agesAt, hasAged } from './computing.js'
import { appoint, type DueKind } from './dues.js'
import { followUpDue } from './follow-ups.js'
import { release } from './holds.js'
import { alarmOf, appointFor, callingOf, keepAlarm, ruleOf } from './remembering.js'
import { mutedStepIsDue, runIsDue } from './running.js'
import { retryDueOf, retryIsDue, send } from './sending.js'
import type { World } from './world.js'

/** One kind of appointment: when it is truly due, and what happens then. */
interface Appointment {
  readonly due: (world: World, key: string) => EpochMs | null
  readonly happen: (world: World, key: string) => void
}

/** An appointment's moment has come, or seems so: its owner knows the true time. */
export function fallsDue(world: World, kind: DueKind, key: string): void {
  const appointment = appointments[kind]
  const due = appointment.due(world, key)
  if (due === null) return
  if (due > world.now) {
    appointFor(world, kind, key, due)
    return
  }
  appointment.happen(world, key)
}

const ofAlarm = (
  due: (world: World, id: AlarmId) => EpochMs | null,
  happen: (world: World, id: AlarmId) => void,
): Appointment => ({
  due: (world, key) => due(world, key as AlarmId),
  happen: (world, key) => happen(world, key as AlarmId),
})

const appointments: Record<DueKind, Appointment> = {
  'shelf-end': ofAlarm(
    (world, id) => alarmOf(world, id).shelf?.until ?? null,
    (world, id) => void changeAlarm(world, id, { kind: 'unshelve' }),
  ),
  release: ofAlarm(
    (world, id) => alarmOf(world, id).suppression?.releaseAt ?? null,
    (world, id) => {
      const rule = ruleOf(world, id)
      if (rule !== undefined) release(world, rule, alarmOf(world, id))
    },
  ),
  delay: ofAlarm(
    (world, id) => {
      const rule = ruleOf(world, id)
      return rule === undefined ? null : delayDue(rule, alarmOf(world, id))
    },
    (world, id) => void changeAlarm(world, id, { kind: 'due' }),
  ),
  stale: { due: staleDueOf, happen: (world, key) => wentStale(world, key as SignalName) },
  aging: { due: agesAt, happen: (world, key) => hasAged(world, key as SignalName) },
  're-alarm': ofAlarm(
    (world, id) => alarmOf(world, id).reAlarmAt,
    (world, id) => void changeAlarm(world, id, { kind: 're-alarm' }),
  ),
  grace: ofAlarm((world, id) => callingOf(world, id).graceAt, graceOver),
  run: ofAlarm((world, id) => {
    const run = world.runs.get(id)
    const ladder = run === undefined ? undefined : world.plan.ladders.get(run.ladder)
    return run === undefined || ladder === undefined ? null : runDue(ladder, run)
  }, runIsDue),
  'muted-step': ofAlarm((world, id) => callingOf(world, id).mutedStepAt, mutedStepIsDue),
  retry: { due: retryDueOf, happen: (world, key) => retryIsDue(world, Number(key)) },
  test: { due: testDueOf, happen: testIsOverdue },
  'follow-up': ofAlarm((world, id) => callingOf(world, id).followUpAt, followUpDue),
  'chattering-over': ofAlarm(
    (world, id) => chatterDue(world, callingOf(world, id).chatter),
    chatteringMayBeOver,
  ),
  'flood-digest': { due: (world) => world.house.flood.digestAt, happen: floodDigestIsDue },
  'flood-over': {
    due: (world) =>
      world.plan.rules.flood === null ? null : floodOverAt(world.plan.rules.flood, world.house.flood),
    happen: floodIsOver,
  },
  morning: { due: (world) => world.now, happen: morningIsDue },
  reminder: ofAlarm((world, id) => reminderDue(world, id), remind),
}

const chatterDue = (world: World, memory: ChatterMemory): EpochMs | null =>
  chatteringOverAt(world.plan.rules.chattering, memory)

/** An alarm out of service beyond its planned return is spoken of once a day (AL-15, AL-47). */
function reminderDue(world: World, id: AlarmId): EpochMs | null {
  const out = alarmOf(world, id).outOfService
  if (out === null || out.until === null) return null
  return out.remindedAt === null ? out.until : after(out.remindedAt, days(1))
}

function remind(world: World, id: AlarmId): void {
  const memory = alarmOf(world, id)
  const out = memory.outOfService
  if (out === null || out.until === null) return
  keepAlarm(world, id, { ...memory, outOfService: { ...out, remindedAt: world.now } })
  const duty = onDuty(world.plan.roster, world.plan.farm.timeZone, world.now)
  for (const person of new Set([out.by, ...duty]))
    send(world, person, { kind: 'reminder', alarm: id, until: out.until, by: out.by })
  appoint(world.dues, 'reminder', id, { at: after(world.now, days(1)), rank: 0 })
}
