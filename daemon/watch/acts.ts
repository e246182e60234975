import { speaks, stateWordOf } from '../alarms/memory.js'
import type { AlarmId, AlarmRule } from '../alarms/rule.js'
import type { Act } from '../journal/act.js'
import { after, minutes, rfc3339, type EpochMs } from '../units/time.js'
import { changeAlarm } from './alarm-changes.js'
import { whereOf } from './facts.js'
import { violatingNow } from './holds.js'
import { tellTrouble } from './own-trouble.js'
import { alarmOf, appointFor, keepHouse, ruleOf } from './remembering.js'
import { reachOf, send } from './sending.js'
import type { World } from './world.js'

/** A test that nobody confirms within this is a path not verified (AL-29). */
export const confirmWithin = minutes(15)

/** What an act came to: every act of a person gets exactly one answer. */
export interface Answer {
  readonly accepted: boolean
  readonly text: string
  readonly alarm?: string
  readonly occurrence?: number
}

/** Does what a person asks, or says why not; the answer line is told either way (AL-7, AL-9, AL-12, AL-15, AL-29, AL-51). */
export function act(world: World, asked: Act): void {
  const answer = answerTo(world, asked)
  world.effects.push({ at: world.now, event: 'answer', to: asked.by ?? '', do: asked.do, ...answer })
}

const no = (text: string, more: Partial<Answer> = {}): Answer => ({ accepted: false, text, ...more })
const yes = (text: string, more: Partial<Answer> = {}): Answer => ({ accepted: true, text, ...more })

function answerTo(world: World, asked: Act): Answer {
  if (asked.do === 'test') return sendTest(world, asked.to, asked.by)
  if (!isKnown(world, asked.by)) {
    return no(`Refused: nobody called "${asked.by}" is known here.`)
  }
  if (asked.do === 'confirm') return confirmTest(world, asked.by)
  const found = alarmNamed(world, asked.alarm)
  if ('problem' in found) return no(found.problem)
  const rule = found
  const answer = onAlarm(world, rule, asked)
  const memory = alarmOf(world, rule.id)
  return { alarm: rule.id, ...(memory.occurrences > 0 ? { occurrence: memory.occurrences } : {}), ...answer }
}

/** Where no login is asked for, whoever stands at this machine acts as the page or the terminal. */
const atThisMachine: readonly string[] = ['page', 'terminal']

/** A person of the farm; on a farm that names nobody, anyone (AL-7). */
const isKnown = (world: World, by: string): boolean =>
  world.plan.people.size === 0 || world.plan.people.has(by) || atThisMachine.includes(by)

function onAlarm(world: World, rule: AlarmRule, asked: Exclude<Act, { do: 'test' | 'confirm' }>): Answer {
  switch (asked.do) {
    case 'acknowledge':
      return acknowledge(world, rule, asked.occurrence, asked.by)
    case 'shelve':
      return shelve(world, rule, asked)
    case 'unshelve':
      if (alarmOf(world, rule.id).shelf === null) return no(`${rule.id} is not shelved.`)
      changeAlarm(world, rule.id, { kind: 'unshelve' }, asked)
      return yes(`${rule.id} is unshelved.`)
    case 'reset':
      return reset(world, rule, asked.by)
    case 'out-of-service':
      if (asked.why.trim() === '') return no('Refused: taking an alarm out of service needs a reason.')
      if (alarmOf(world, rule.id).outOfService !== null) return no(`${rule.id} is out of service already.`)
      changeAlarm(
        world,
        rule.id,
        { kind: 'out-of-service', by: asked.by, why: asked.why, until: asked.until },
        asked,
      )
      appointFor(world, 'reminder', rule.id, asked.until)
      return yes(
        `${rule.id} is out of service${asked.until === null ? '' : ` until ${rfc3339(asked.until)}`}.`,
      )
    case 'return-to-service': {
      const memory = alarmOf(world, rule.id)
      if (memory.outOfService === null) return no(`${rule.id} is not out of service.`)
      changeAlarm(
        world,
        rule.id,
        { kind: 'return-to-service', violating: violatingNow(world, rule, memory) },
        asked,
      )
      return yes(`${rule.id} is back in service.`)
    }
  }
}

function acknowledge(world: World, rule: AlarmRule, wanted: number | null, by: string): Answer {
  const memory = alarmOf(world, rule.id)
  const { open, lastAcknowledged } = memory
  if (wanted !== null && wanted > memory.occurrences)
    return no(`${rule.id} has had no occurrence ${wanted} yet.`)
  const latest = open?.index ?? memory.occurrences
  if (wanted !== null && wanted < latest) {
    return no(
      open !== null && open.acknowledged === null
        ? `Occurrence ${wanted} is over; occurrence ${open.index} (${open.number}) is open.`
        : `Occurrence ${wanted} is over; nothing is open.`,
    )
  }
  if (open !== null && open.acknowledged === null) {
    changeAlarm(world, rule.id, { kind: 'acknowledge', by }, { by })
    return yes(
      `Acknowledged ${open.number}: ${whereOf(world, rule)}, ${rule.rule.replaceAll('-', ' ')}. Calling has stopped.`,
      { occurrence: open.index },
    )
  }
  if (lastAcknowledged !== null && lastAcknowledged.index === memory.occurrences) {
    return no(`Already acknowledged by ${lastAcknowledged.by} at ${rfc3339(lastAcknowledged.at)}.`)
  }
  return no(`${rule.id} has nothing to acknowledge.`)
}

function shelve(world: World, rule: AlarmRule, asked: Extract<Act, { do: 'shelve' }>): Answer {
  const { maximum, lifeSupportMaximum } = world.plan.rules.shelving
  const most = rule.lifeSupport ? lifeSupportMaximum : maximum
  const sayMost = `${Math.round(most / 60_000)} min`
  if (asked.why.trim() === '') return no('Refused: shelving needs a reason.')
  if (asked.for === null && !asked.oneShot) return no('Refused: say for how long, or one-shot.')
  if (asked.for !== null && asked.for <= 0) return no('Refused: the time must be longer than nothing.')
  if (asked.for !== null && asked.for > most) {
    return no(
      `Refused: ${rule.lifeSupport ? 'a life-support alarm' : 'an alarm'} may be shelved for ${sayMost} at most.`,
    )
  }
  if (alarmOf(world, rule.id).shelf !== null) return no(`${rule.id} is shelved already.`)
  const until = after(world.now, asked.for ?? most)
  changeAlarm(
    world,
    rule.id,
    { kind: 'shelve', by: asked.by, why: asked.why, until, oneShot: asked.oneShot },
    asked,
  )
  return yes(`${rule.id} is shelved until ${rfc3339(until)}${asked.oneShot ? ' or until it is over' : ''}.`)
}

function reset(world: World, rule: AlarmRule, by: string): Answer {
  const memory = alarmOf(world, rule.id)
  if (!memory.latched) return no(`${rule.id} is not latched.`)
  if (memory.condition.kind !== 'clear') return no(`Refused: the condition of ${rule.id} is still there.`)
  if (memory.open?.acknowledged === null) return no(`Refused: acknowledge ${rule.id} first.`)
  return changeAlarm(world, rule.id, { kind: 'reset' }, { by })
    ? yes(`${rule.id} is reset.`)
    : no(`${rule.id} is held: ${stateWordOf(memory)}.`)
}

function sendTest(world: World, to: string, by: string | null): Answer {
  if (!world.plan.people.has(to)) return no(`Nobody called "${to}" is known here.`)
  const reach = Object.keys(world.plan.people.get(to)?.reach ?? {})
  const channels = reachOf(world, to, by === null ? reach : [by])
  if (channels.length === 0) return no(`${to} cannot be reached${by === null ? '' : ` by ${by}`}.`)
  send(world, to, { kind: 'test', number: world.house.nextAttempt }, channels)
  keepHouse(world, { tests: { ...world.house.tests, [to]: { sentAt: world.now, by: channels[0] ?? '' } } })
  appointFor(world, 'test', to, after(world.now, confirmWithin))
  return yes(`A test is on its way to ${to}.`)
}

function confirmTest(world: World, by: string): Answer {
  const { [by]: waiting, ...others } = world.house.tests
  if (waiting === undefined && !world.troubles.has(by)) return no('No test waits for your confirmation.')
  keepHouse(world, { tests: others })
  tellTrouble(world, by, null)
  return yes('Confirmed: the test reached you.')
}

/** A test went unanswered: the path to this person is not verified (AL-29). */
export function testIsOverdue(world: World, person: string): void {
  const { [person]: waiting, ...others } = world.house.tests
  if (waiting === undefined) return
  keepHouse(world, { tests: others })
  tellTrouble(world, person, `path not verified: ${person} did not confirm a test over ${waiting.by}`)
}

export const testDueOf = (world: World, person: string): EpochMs | null => {
  const waiting = world.house.tests[person]
  return waiting === undefined ? null : after(waiting.sentAt, confirmWithin)
}

/** By full id, by the bare id where only one place has it, or by the number that a text carried. */
export function alarmNamed(world: World, name: string): AlarmRule | { readonly problem: string } {
  const exact = ruleOf(world, name as AlarmId)
  if (exact !== undefined) return exact
  if (/^#?\d+$/.test(name)) {
    const number = Number(name.replace('#', ''))
    for (const [id, memory] of world.alarms) {
      const rule = memory.open?.number === number ? ruleOf(world, id) : undefined
      if (rule !== undefined) return rule
    }
    return { problem: `No open alarm carries the number ${number}.` }
  }
  const all = [...world.wiring.rules.values()].filter((rule) => rule.rule === name)
  const [only] = all
  if (only !== undefined && all.length === 1) return only
  const open = all.filter((rule) => speaks(alarmOf(world, rule.id)))
  const list = (open.length > 0 ? open : all)
    .map((rule) => rule.id)
    .slice(0, 5)
    .join(', ')
  return {
    problem:
      all.length === 0
        ? `There is no alarm "${name}".`
        : `"${name}" stands for several alarms; name one: ${list}.`,
  }
}
