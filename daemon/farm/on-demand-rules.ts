import type { Priority } from '../alarms/rule.js'
import type { AlarmSettings, Settings } from '../settings/schema.js'
import { milliseconds, type Milliseconds } from '../units/time.js'
import { texts } from './built-in-texts.js'
import { hasLimit } from './conditions.js'
import { followUpDefault } from './finish-alarms.js'
import type { AlarmStage } from './patch-alarm.js'
import { onDemandRules, type OnDemand, type OnDemandRule, type RuleTemplate } from './plan.js'
import { prioritiesOf } from './priority.js'
import type { Path } from './report.js'

const none = milliseconds(0)

/** The built-in rules that are made when they are first needed, as the keeper's entries of the same id leave them. */
export function onDemandTemplates(
  settings: Settings,
  defaultLadder: string | null,
  stage: AlarmStage,
): OnDemand['rules'] {
  const of = (id: OnDemandRule): RuleTemplate | null => {
    const index = settings.alarms.findIndex((entry) => entry.id === id)
    const entry = settings.alarms[index]
    const followUp = id === 'own-trouble' ? settings.system.follow_up_delay : followUpDefault
    const template = bare(id, defaultLadder, followUp)
    return entry === undefined ? template : withEntry(template, entry, ['alarms', index], stage)
  }
  const [badMeasurement, probeClock, ownTrouble] = onDemandRules
  return {
    [badMeasurement]: of(badMeasurement),
    [probeClock]: of(probeClock),
    [ownTrouble]: of(ownTrouble),
  }
}

const bare = (rule: OnDemandRule, ladder: string | null, followUpDelay: Milliseconds): RuleTemplate => ({
  rule,
  onDelay: none,
  offDelay: none,
  priority: null,
  priorityFrom: { kind: 'built-in' },
  ladder,
  latching: false,
  followUpDelay,
  reAlarm: null,
  releaseDelay: none,
  ...texts[rule],
  origin: 'built-in',
})

/** These follow no limit and no glob: what can be changed is how they are told. */
function withEntry(
  template: RuleTemplate,
  entry: AlarmSettings,
  path: Path,
  stage: AlarmStage,
): RuleTemplate | null {
  if (entry.signal !== undefined || hasLimit(entry) || entry.deadband !== undefined) {
    const right =
      entry.id === 'bad-measurement'
        ? 'leave signal and limit out here; write bad_measurement: at the probe'
        : 'leave signal and limit out'
    stage.report([...path, 'id'], `${entry.id} watches no value that could have a limit`, right)
    return template
  }
  if (entry.off === true) return null
  const saysPriority = entry.priority !== undefined || entry.severity !== undefined
  const own: { priority: Priority | null; priorityFrom: RuleTemplate['priorityFrom'] } = saysPriority
    ? prioritiesOf(entry, stage.remark)
    : template
  return {
    ...template,
    onDelay: entry.on_delay ?? template.onDelay,
    offDelay: entry.off_delay ?? template.offDelay,
    priority: own.priority,
    priorityFrom: own.priorityFrom,
    ladder: entry.ladder ?? template.ladder,
    latching: entry.latching ?? template.latching,
    followUpDelay: entry.follow_up_delay ?? template.followUpDelay,
    reAlarm: entry.re_alarm ?? template.reAlarm,
    releaseDelay: entry.release_delay ?? template.releaseDelay,
    cause: entry.cause ?? template.cause,
    consequence: entry.consequence ?? template.consequence,
    response: entry.response ?? template.response,
  }
}
