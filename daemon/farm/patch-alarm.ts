import type { Condition } from '../alarms/rule.js'
import { quantityOf } from '../readings/signal.js'
import type { AlarmSettings } from '../settings/schema.js'
import { differenceIn } from '../units/convert.js'
import type { BareRule } from './built-in.js'
import { conditionFor, hasLimit } from './conditions.js'
import { prioritiesOf } from './priority.js'
import { reported, type Path, type Remark } from './report.js'
import type { Stage } from './resolve-signals.js'

export type AlarmStage = Stage & { readonly remark: Remark }

/** A built-in alarm with what an entry says about it; null when it does not fit, with the reason reported. */
export function patched(
  rule: BareRule,
  entry: AlarmSettings,
  path: Path,
  stage: AlarmStage,
): BareRule | null {
  const condition = changedCondition(rule.condition, entry, path, stage)
  if (condition === null) return null
  const saysPriority = entry.priority !== undefined || entry.severity !== undefined
  const { priorityByMode, priorityWhile, ...rest } = rule
  return {
    ...rest,
    condition,
    onDelay: entry.on_delay ?? rule.onDelay,
    offDelay: entry.off_delay ?? rule.offDelay,
    // A priority of the keeper's own holds for every mode and in every state of the battery.
    ...(saysPriority
      ? prioritiesOf(entry, stage.remark)
      : {
          ...(priorityByMode === undefined ? {} : { priorityByMode }),
          ...(priorityWhile === undefined ? {} : { priorityWhile }),
        }),
    ladder: entry.ladder ?? rule.ladder,
    latching: entry.latching ?? rule.latching,
    reAlarm: entry.re_alarm ?? rule.reAlarm,
    releaseDelay: entry.release_delay ?? rule.releaseDelay,
    cause: entry.cause ?? rule.cause,
    consequence: entry.consequence ?? rule.consequence,
    response: entry.response ?? rule.response,
  }
}

function changedCondition(
  condition: Condition,
  entry: AlarmSettings,
  path: Path,
  stage: AlarmStage,
): Condition | null {
  const { deadband } = entry
  if (!hasLimit(entry) && deadband === undefined) return condition
  const quantity = 'signal' in condition ? stage.quantities.get(quantityOf(condition.signal)) : undefined
  if ((condition.kind !== 'above' && condition.kind !== 'below') || quantity === undefined) {
    const right = 'add a signal: the entry then takes the place of the built-in alarm'
    stage.report([...path, 'id'], `${entry.id} follows a verdict and has no limit to change`, right)
    return null
  }
  if (!hasLimit(entry) && deadband !== undefined) {
    const changed = reported(stage.report, [...path, 'deadband'], () => differenceIn(deadband, quantity.unit))
    return changed === null ? null : { ...condition, deadband: changed }
  }
  const limited = conditionFor(entry, { signal: condition.signal, quantity, path, report: stage.report })
  // Another limit of the same kind keeps the built-in deadband unless the entry brings its own.
  const keeps = deadband === undefined && limited?.kind === condition.kind
  return keeps ? { ...condition, limit: limited.limit } : limited
}
