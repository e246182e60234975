import { isActive, stateWordOf } from '../alarms/memory.js'
import type { AlarmId, AlarmRule } from '../alarms/rule.js'
import { noteUnreached, runDue, stepFailed, takeDue, type LadderAction, type Run } from '../callout/ladder.js'
import type { Ladder, LadderStep, StepTarget } from '../callout/people.js'
import { onDuty } from '../callout/roster.js'
import { endRun, isDay, speakForItself } from './announcing.js'
import { consequencesOf, priorityOf } from './causes.js'
import { alarmOf, appointFor, callingOf, keepCalling, keepRun, ruleOf } from './remembering.js'
import { reachOf, send } from './sending.js'
import type { World } from './world.js'

/** A ladder's next step or repeat is due (AL-25). */
export function runIsDue(world: World, id: AlarmId): void {
  const rule = ruleOf(world, id)
  const run = world.runs.get(id)
  const ladder = run === undefined ? undefined : world.plan.ladders.get(run.ladder)
  if (rule === undefined || run === undefined || ladder === undefined) return
  if (priorityOf(world, rule) === 'medium' && !isDay(world)) {
    // Climbs by day only; the morning's digest takes it up again (AL-38).
    endRun(world, id)
    leaveToThemselves(world, id)
    return
  }
  const { run: next, actions } = takeDue(ladder, run, world.now)
  keepRun(world, next)
  const asked = merged(actions.filter((action) => !isMuted(ladder, run, action)))
  for (const action of asked) perform(world, rule, ladder, action)
  const later = world.runs.get(id)
  if (later !== undefined) appointFor(world, 'run', id, runDue(ladder, later))
}

/** A ladder that stops for the night tells nothing more: what it would have told speaks for itself (AL-37). */
function leaveToThemselves(world: World, id: AlarmId): void {
  for (const consequence of consequencesOf(world, id)) {
    if (callingOf(world, consequence.id).toldBy === id) speakForItself(world, consequence)
  }
}

/** AL-39: a muted occurrence of a critical alarm has lasted: its step 1 is run after all. */
export function mutedStepIsDue(world: World, id: AlarmId): void {
  const rule = ruleOf(world, id)
  const run = world.runs.get(id)
  if (rule === undefined || run === undefined || callingOf(world, id).mutedStepAt === null) return
  keepCalling(world, id, { mutedStepAt: null })
  const ladder = world.plan.ladders.get(run.ladder)
  const step = ladder?.steps[0]
  if (ladder === undefined || step === undefined || stateWordOf(alarmOf(world, id)) !== 'UNACK') return
  perform(world, rule, ladder, { kind: 'step', index: 0, step })
}

/** Chattering: no step 1, with whatever stands at the same time; later steps still run (AL-19). */
function isMuted(ladder: Ladder, run: Run, action: LadderAction): boolean {
  return run.chattering === 'muted' && action.kind === 'step' && action.step.after === ladder.steps[0]?.after
}

/** After a stop several steps may be due at once: each person gets one text for all of them (AL-50), so the last counts. */
function merged(actions: readonly LadderAction[]): readonly LadderAction[] {
  return actions.filter((action, index) => {
    if (action.kind !== 'step' || action.step.kind !== 'call') return true
    const { target, after } = action.step
    return !actions
      .slice(index + 1)
      .some(
        (later) =>
          later.kind === 'step' &&
          later.step.kind === 'call' &&
          later.step.after !== after &&
          sameTarget(target, later.step.target),
      )
  })
}

const sameTarget = (a: StepTarget, b: StepTarget): boolean =>
  b.kind === 'everyone' ||
  (a.kind === b.kind && (a.kind !== 'person' || b.kind !== 'person' || a.person === b.person))

function perform(world: World, rule: AlarmRule, ladder: Ladder, action: LadderAction): void {
  if (action.kind === 'repeat') {
    callAll(world, rule, ladder, action.time)
    return
  }
  const { step, index } = action
  if (step.kind === 'switch-on') switchOn(world, rule.id, step.channel)
  else callStep(world, rule, step, index)
}

function callStep(
  world: World,
  rule: AlarmRule,
  step: Extract<LadderStep, { kind: 'call' }>,
  index: number,
): void {
  const people = peopleFor(world, step.target)
  const key = String(index + 1)
  noteStep(world, rule.id, key, people)
  for (const person of people) call(world, rule, { person, by: step.by, step: key, shown: index + 1 })
  if (people.length === 0) stepGaveUp(world, rule.id, key)
}

/** After the last step everyone whom the ladder names is called again. */
function callAll(world: World, rule: AlarmRule, ladder: Ladder, time: number): void {
  const channels = new Map<string, readonly string[]>()
  for (const step of ladder.steps) {
    if (step.kind === 'call')
      for (const person of peopleFor(world, step.target)) channels.set(person, step.by)
  }
  const key = `repeat ${time}`
  // In the order in which the farm names its people.
  const people = [...world.plan.people.keys()].filter((person) => channels.has(person))
  noteStep(world, rule.id, key, people)
  for (const person of people) {
    const by = channels.get(person) ?? []
    call(world, rule, { person, by, step: key, shown: ladder.steps.length + time })
  }
}

function call(
  world: World,
  rule: AlarmRule,
  what: { person: string; by: readonly string[]; step: string; shown: number },
): void {
  const run = world.runs.get(rule.id)
  if (run === undefined) return
  const channels = reachOf(world, what.person, what.by)
  if (channels.length === 0) {
    personUnreached(world, rule.id, what.step, what.person)
    return
  }
  const also = [...world.callings]
    .filter(([id, calling]) => calling.toldBy === rule.id && isActive(alarmOf(world, id)))
    .map(([id]) => id)
  send(
    world,
    what.person,
    {
      kind: 'activation',
      alarm: rule.id,
      occurrence: run.occurrence,
      step: what.step,
      shown: what.shown,
      also,
    },
    channels,
  )
  if (!run.tried.includes(what.person))
    keepRun(world, { ...(world.runs.get(rule.id) ?? run), tried: [...run.tried, what.person] })
}

function noteStep(world: World, id: AlarmId, key: string, people: readonly string[]): void {
  const run = world.runs.get(id)
  if (run !== undefined) keepRun(world, { ...run, steps: { ...run.steps, [key]: { people, failed: [] } } })
}

/** Every channel of a person has failed (AL-26); when that is so for all of a step, the next step comes at once. */
export function personUnreached(world: World, id: AlarmId, step: string, person: string): void {
  const run = world.runs.get(id)
  if (run === undefined) return
  const noted = noteUnreached(run, step, person)
  keepRun(world, noted)
  const progress = noted.steps[step]
  if (progress !== undefined && stepFailed(progress)) stepGaveUp(world, id, step)
}

function stepGaveUp(world: World, id: AlarmId, step: string): void {
  const rule = ruleOf(world, id)
  const run = world.runs.get(id)
  const ladder = run === undefined ? undefined : world.plan.ladders.get(run.ladder)
  if (rule === undefined || run === undefined || ladder === undefined || step.startsWith('repeat')) return
  const next = ladder.steps[run.next]
  if (next === undefined) {
    // Nobody was reached by the last step: what can make a noise is turned on, the repeats go on (AL-50).
    const channel = world.plan.switches.find((name) => !run.switches.includes(name))
    if (channel !== undefined) switchOn(world, id, channel)
    return
  }
  if (run.next !== Number(step)) return
  keepRun(world, { ...run, next: run.next + 1 })
  perform(world, rule, ladder, { kind: 'step', index: run.next, step: next })
  const later = world.runs.get(id)
  if (later !== undefined) appointFor(world, 'run', id, runDue(ladder, later))
}

function switchOn(world: World, id: AlarmId, channel: string): void {
  const run = world.runs.get(id)
  if (run === undefined || run.switches.includes(channel)) return
  keepRun(world, { ...run, switches: [...run.switches, channel] })
  world.effects.push({
    at: world.now,
    event: 'switch',
    channel,
    on: true,
    alarm: id,
    occurrence: run.occurrence,
  })
}

/** Looked up when the step runs (AL-25). With nobody on duty everyone is meant: a gap must not mean silence. */
export function peopleFor(world: World, target: StepTarget): readonly string[] {
  const everyone = [...world.plan.people.keys()]
  switch (target.kind) {
    case 'everyone':
      return everyone
    case 'person':
      return [target.person]
    case 'on-duty': {
      const duty = onDuty(world.plan.roster, world.plan.farm.timeZone, world.now)
      return duty.length === 0 ? everyone : duty
    }
  }
}
