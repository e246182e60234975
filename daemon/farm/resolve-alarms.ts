import { alarmId, type AlarmId } from '../alarms/rule.js'
import { placeOf, type SignalName } from '../readings/signal.js'
import type { AlarmSettings } from '../settings/schema.js'
import { milliseconds } from '../units/time.js'
import { isBuiltIn, type BareRule } from './built-in.js'
import { texts } from './built-in-texts.js'
import { conditionFor, hasLimit } from './conditions.js'
import { expandSignals } from './expand-signals.js'
import { onDemandRules } from './plan.js'
import { patched, type AlarmStage } from './patch-alarm.js'
import { prioritiesOf } from './priority.js'
import type { Path } from './report.js'
import { quantityOfSignal, type Stage } from './resolve-signals.js'

/** An alarm on its way into the plan: what the closed list or the keeper made it, and where it was written. */
export interface Draft {
  readonly rule: BareRule
  readonly entry: AlarmSettings | null
  readonly path: Path | null
}

/**
 * The keeper's alarms over the built-in ones. An entry with a signal and a limit takes the place of the built-in alarm
 * of the same id wherever its signal reaches; one without a signal changes what it names of the built-in ones;
 * `off: true` removes them.
 */
export function resolveAlarms(
  entries: readonly AlarmSettings[],
  builtIns: readonly BareRule[],
  stage: AlarmStage,
): ReadonlyMap<AlarmId, Draft> {
  const drafts = new Map<AlarmId, Draft>(builtIns.map((rule) => [rule.id, { rule, entry: null, path: null }]))
  for (const [index, entry] of entries.entries()) {
    if ((onDemandRules as readonly string[]).includes(entry.id)) continue
    const path = ['alarms', index]
    const isWhole = entry.discrepancy !== undefined || (hasLimit(entry) && entry.signal !== undefined)
    if (entry.off === true) turnOff(entry, path, drafts, stage)
    else if (isWhole) {
      for (const draft of wholeAlarms(entry, path, drafts, stage)) add(draft, drafts, stage)
    } else change(entry, path, drafts, stage)
  }
  return drafts
}

/** Built-in alarms of the entry's id, only those that its signal reaches if it has one. */
function reached(
  entry: AlarmSettings,
  path: Path,
  drafts: ReadonlyMap<AlarmId, Draft>,
  stage: AlarmStage,
): readonly Draft[] {
  const all = [...drafts.values()].filter(({ rule }) => rule.rule === entry.id && rule.origin === 'built-in')
  if (entry.signal !== undefined) {
    const places = new Set(expandSignals(entry.signal, [...path, 'signal'], stage).map(placeOf))
    return all.filter(({ rule }) => places.has(rule.place))
  }
  if (all.length === 0)
    stage.remark(`alarm ${entry.id} is overridden, but nothing on this farm brings it along`)
  return all
}

function turnOff(entry: AlarmSettings, path: Path, drafts: Map<AlarmId, Draft>, stage: AlarmStage): void {
  for (const { rule } of reached(entry, path, drafts, stage)) drafts.delete(rule.id)
}

function change(entry: AlarmSettings, path: Path, drafts: Map<AlarmId, Draft>, stage: AlarmStage): void {
  for (const { rule } of reached(entry, path, drafts, stage)) {
    const changed = patched(rule, entry, path, stage)
    if (changed !== null) drafts.set(rule.id, { rule: changed, entry, path })
  }
}

interface Target {
  readonly about: string
  readonly condition: BareRule['condition']
}

function wholeAlarms(
  entry: AlarmSettings,
  path: Path,
  drafts: ReadonlyMap<AlarmId, Draft>,
  stage: AlarmStage,
): readonly Draft[] {
  return targetsOf(entry, path, stage).map(({ about, condition }) => {
    const instead = drafts.get(alarmId(entry.id, about))?.rule ?? null
    return { rule: farmRule(entry, { about, condition }, instead, stage), entry, path }
  })
}

function targetsOf(entry: AlarmSettings, path: Path, stage: AlarmStage): readonly Target[] {
  if (entry.discrepancy !== undefined) return discrepancy(entry.discrepancy, path, stage)
  const failed = new Set<string>()
  // Ten tanks of one glob have one mistake in their unit, not ten.
  const once: Stage = {
    ...stage,
    report: (at, wrong, right) => {
      const key = `${at.join('.')} ${wrong}`
      if (!failed.has(key)) stage.report(at, wrong, right)
      failed.add(key)
    },
  }
  return expandSignals(entry.signal ?? '', [...path, 'signal'], stage).flatMap((signal) => {
    const quantity = quantityOfSignal(signal, [...path, 'signal'], once)
    if (quantity === null) return []
    const condition = conditionFor(entry, { signal, quantity, path, report: once.report })
    return condition === null ? [] : [{ about: placeOf(signal), condition }]
  })
}

function discrepancy(
  written: NonNullable<AlarmSettings['discrepancy']>,
  path: Path,
  stage: AlarmStage,
): readonly Target[] {
  const commanded = quantityOfSignal(written.commanded, [...path, 'discrepancy', 'commanded'], stage)
  const running = quantityOfSignal(written.running, [...path, 'discrepancy', 'running'], stage)
  if (commanded === null || running === null) return []
  const signals = { commanded: written.commanded as SignalName, running: written.running as SignalName }
  return [{ about: placeOf(signals.running), condition: { kind: 'discrepancy', ...signals } }]
}

const none = milliseconds(0)

/** What the keeper left out of a whole alarm: nothing is delayed; of a built-in id, its priority, words and level stay. */
function farmRule(
  entry: AlarmSettings,
  { about, condition }: Target,
  instead: BareRule | null,
  stage: AlarmStage,
): BareRule {
  const known = isBuiltIn(entry.id) ? texts[entry.id] : null
  return {
    id: alarmId(entry.id, about),
    rule: entry.id,
    about,
    place: about,
    condition,
    onDelay: entry.on_delay ?? none,
    offDelay: entry.off_delay ?? none,
    ...prioritiesOf(entry, stage.remark),
    ladder: entry.ladder ?? null,
    latching: entry.latching ?? false,
    reAlarm: entry.re_alarm ?? null,
    lesserOf: instead?.lesserOf ?? null,
    suppressedWhile: [],
    releaseDelay: entry.release_delay ?? none,
    cause: entry.cause ?? known?.cause ?? null,
    consequence: entry.consequence ?? known?.consequence ?? null,
    response: entry.response ?? known?.response ?? null,
    origin: 'farm',
  }
}

/** Two entries may share an id as long as they are about different places. */
function add(draft: Draft, drafts: Map<AlarmId, Draft>, stage: AlarmStage): void {
  const { id } = draft.rule
  const before = drafts.get(id)
  if (before?.path == null || draft.path === null || before.rule.origin === 'built-in') {
    drafts.set(id, draft)
    return
  }
  const index = String(before.path[1])
  stage.report(
    [...draft.path, 'id'],
    `alarms[${index}] makes an alarm ${id} already`,
    'one place has one alarm of an id: give this one another id, or narrow the signal',
  )
}
