import { alarmId, type AlarmId, type AlarmRule, type Suppressor } from '../alarms/rule.js'
import type { Ladder } from '../callout/people.js'
import type { SignalName } from '../readings/signal.js'
import type { AlarmSettings } from '../settings/schema.js'
import { didYouMean } from '../units/nearest-name.js'
import { seconds } from '../units/time.js'
import { stateValue } from './conditions.js'
import { lifeSupportOn, whyNeverSuppressed } from './life-support.js'
import type { AlarmStage } from './patch-alarm.js'
import type { Path } from './report.js'
import type { Draft } from './resolve-alarms.js'
import { quantityOfSignal } from './resolve-signals.js'

/** AL-8 */
export const followUpDefault = seconds(60)

/** What alarms are called out with when they name nothing of their own. */
export interface Defaults {
  readonly ladder: string | null
  readonly ladders: ReadonlyMap<string, Ladder>
}

type Drafts = ReadonlyMap<AlarmId, Draft>

/** Rules whole but for their causes: ladder, life support, levels and suppression found. */
export function finishAlarms(
  drafts: Drafts,
  defaults: Defaults,
  stage: AlarmStage,
): ReadonlyMap<AlarmId, AlarmRule> {
  const finishing: Finishing = { drafts, defaults, stage, isLifeSupport: lifeSupportOn(stage) }
  const rules = new Map([...drafts].map(([id, draft]) => [id, finish(draft, finishing)] as const))
  for (const [id, rule] of rules) checkLevels(rule, drafts.get(id) ?? null, rules, stage)
  return rules
}

interface Finishing {
  readonly drafts: Drafts
  readonly defaults: Defaults
  readonly stage: AlarmStage
  readonly isLifeSupport: ReturnType<typeof lifeSupportOn>
}

function finish({ rule, entry, path }: Draft, finishing: Finishing): AlarmRule {
  const { drafts, defaults, stage } = finishing
  const ladder = rule.ladder ?? defaults.ladder
  const whole: AlarmRule = {
    ...rule,
    ladder,
    followUpDelay: entry?.follow_up_delay ?? followUpDefault,
    reAlarm: rule.reAlarm ?? defaults.ladders.get(ladder ?? '')?.reAlarm ?? null,
    lifeSupport: entry?.class === 'life_support' || finishing.isLifeSupport(rule),
    causes: [],
  }
  if (entry === null || path === null) return { ...whole, lesserOf: existing(rule.lesserOf, drafts) }
  return {
    ...whole,
    lesserOf: lesserOf(whole, entry, [...path, 'lesser_of'], { drafts, stage }),
    suppressedWhile: suppressors(whole, entry, [...path, 'suppressed_while'], { drafts, stage }),
  }
}

const existing = (id: AlarmId | null, drafts: Drafts): AlarmId | null =>
  id !== null && drafts.has(id) ? id : null

type Among = Pick<Finishing, 'drafts' | 'stage'>

function lesserOf(
  rule: AlarmRule,
  entry: AlarmSettings,
  path: Path,
  { drafts, stage }: Among,
): AlarmId | null {
  if (entry.lesser_of === undefined) return existing(rule.lesserOf, drafts)
  const found = alarmNamed(entry.lesser_of, rule.about, drafts)
  if (found === null) {
    stage.report(
      path,
      `there is no alarm ${entry.lesser_of} at ${rule.about}`,
      nearAlarms(entry.lesser_of, drafts),
    )
  }
  return found
}

function suppressors(
  rule: AlarmRule,
  entry: AlarmSettings,
  path: Path,
  { drafts, stage }: Among,
): readonly Suppressor[] {
  return (entry.suppressed_while ?? []).flatMap((written, index): readonly Suppressor[] => {
    const kind = 'alarm' in written ? 'alarm' : 'signal'
    const never = whyNeverSuppressed(rule, kind)
    if (never !== null) {
      stage.report([...path, index], `${rule.id} may not be suppressed: ${never}`, 'leave it out')
      return []
    }
    if ('alarm' in written) {
      const alarm = alarmNamed(written.alarm, rule.about, drafts)
      if (alarm !== null && alarm !== rule.id) return [{ kind: 'alarm', alarm }]
      const wrong = alarm === null ? `there is no alarm ${written.alarm}` : 'an alarm cannot suppress itself'
      stage.report([...path, index, 'alarm'], wrong, nearAlarms(written.alarm, drafts))
      return []
    }
    const signal = written.signal as SignalName
    const quantity = quantityOfSignal(signal, [...path, index, 'signal'], stage)
    if (quantity === null) return []
    const is = stateValue(written.is, quantity)
    if (is !== null) return [{ kind: 'signal', signal, is }]
    stage.report(
      [...path, index, 'is'],
      `${quantity.name} is never "${written.is}"`,
      'write 1 or 0, or a number',
    )
    return []
  })
}

/**
 * The alarm that a name means: an instance, the one of that id at the same place, or the only one of that id on the
 * farm. Null when there is none, or several elsewhere.
 */
function alarmNamed(name: string, about: string, drafts: Drafts): AlarmId | null {
  const exact = [name as AlarmId, alarmId(name, about)].find((id) => drafts.has(id))
  if (exact !== undefined) return exact
  const [only, ...others] = [...drafts.values()].filter(({ rule }) => rule.rule === name)
  return only !== undefined && others.length === 0 ? only.rule.id : null
}

function nearAlarms(name: string, drafts: Drafts): string {
  const instances = [...drafts.values()].filter(({ rule }) => rule.rule === name).map(({ rule }) => rule.id)
  if (instances.length > 0) return `say which: ${instances.slice(0, 4).join(', ')}`
  return didYouMean(name, new Set([...drafts.values()].map(({ rule }) => rule.rule)))
}

/** Levels belong to one quantity, one under the other, and not in a circle (AL-22). */
function checkLevels(
  rule: AlarmRule,
  draft: Draft | null,
  rules: ReadonlyMap<AlarmId, AlarmRule>,
  stage: AlarmStage,
): void {
  const severe = rule.lesserOf === null ? undefined : rules.get(rule.lesserOf)
  if (severe === undefined) return
  const path = [...(draft?.path ?? ['alarms']), 'lesser_of']
  if (circles(rule, rules)) {
    stage.report(path, `${rule.id} is in a circle of lesser_of`, 'the more severe alarm has no lesser_of')
    return
  }
  const [one, other] = [rule.condition, severe.condition]
  if (!('signal' in one) || !('signal' in other) || one.signal !== other.signal) {
    // Only what the keeper wrote is a mistake; an inherited level that no longer fits is simply none.
    if (draft?.entry?.lesser_of === undefined) return
    stage.report(
      path,
      `${severe.id} is about another quantity`,
      'lesser_of names another limit of the same signal',
    )
    return
  }
  if (one.kind !== other.kind || (one.kind !== 'below' && one.kind !== 'above')) return
  if (other.kind !== 'below' && other.kind !== 'above') return
  const sooner = one.kind === 'below' ? one.limit > other.limit : one.limit < other.limit
  if (!sooner) {
    stage.remark(
      `${rule.id} (limit ${one.limit}) never comes before ${severe.id} (limit ${other.limit}): it will not be heard`,
    )
  }
}

function circles(rule: AlarmRule, rules: ReadonlyMap<AlarmId, AlarmRule>): boolean {
  const seen = new Set<AlarmId>()
  for (let next: AlarmId | null = rule.id; next !== null; next = rules.get(next)?.lesserOf ?? null) {
    if (seen.has(next)) return true
    seen.add(next)
  }
  return false
}
