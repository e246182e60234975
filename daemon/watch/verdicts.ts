import type { AlarmId } from '../alarms/rule.js'
import { judgeEquipment } from '../equipment/detect.js'
import type { Verdict } from '../equipment/verdict.js'
import type { SignalName } from '../readings/signal.js'
import { changeAlarm } from './alarm-changes.js'
import { estimateAt } from './computing.js'
import { ruleOf } from './remembering.js'
import { placesFedBy } from './supplies.js'
import type { World } from './world.js'

/** A signal has a new usable value: the equipment that it is evidence for is judged again. */
export function detectFrom(world: World, signal: SignalName): void {
  for (const equipment of world.wiring.detectors.bySignal.get(signal) ?? []) {
    const verdict = judgeEquipment(equipment, (of) => {
      const memory = world.signals.get(of)
      return memory === undefined || memory.stale || memory.usable === null
        ? null
        : { value: memory.usable.value, at: memory.usable.at }
    })
    if (verdict !== null) setVerdict(world, { of: equipment.id, ...verdict })
  }
}

/** Takes a verdict; a line and the alarms follow only when the mode has changed. Nothing known counts as normal. */
export function setVerdict(world: World, verdict: Verdict): void {
  const before = world.verdicts.get(verdict.of)
  if ((before?.mode ?? 'normal') === verdict.mode) return
  world.verdicts.set(verdict.of, verdict)
  world.changed.add(`verdict ${verdict.of}`)
  world.effects.push({ at: world.now, event: 'verdict', ...verdict })
  // What it means for the tanks first: the text about the machine tells it.
  if (world.plan.equipment.has(verdict.of)) estimateAt(world, placesFedBy(world, verdict.of))
  for (const id of world.wiring.byVerdict.get(verdict.of) ?? []) follow(world, id, verdict)
}

function follow(world: World, id: AlarmId, verdict: Verdict): void {
  const condition = ruleOf(world, id)?.condition
  if (condition?.kind !== 'verdict') return
  const wrong =
    verdict.mode !== 'normal' && (condition.modes === 'any' || condition.modes.includes(verdict.mode))
  changeAlarm(world, id, {
    kind: 'sample',
    finding: wrong ? 'violating' : 'clear',
    quality: 'good',
    at: verdict.since,
  })
}
