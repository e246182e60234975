import { signalName, signalParts, type SignalName } from '../readings/signal.js'
import type { ProbeSettings } from '../settings/schema.js'
import { converter } from '../units/convert.js'
import type { Quantity } from '../units/quantities.js'
import { milliseconds, minutes, type Milliseconds } from '../units/time.js'
import { didYouMean } from '../units/nearest-name.js'
import { entered, patternOf } from './on-demand.js'
import type { BadMeasurementWish, Equipment, Listening, Place, ProbePattern, SignalPlan } from './plan.js'
import { plausibleFor, testsFor } from './reading-tests.js'
import { reported, type Path, type Report } from './report.js'
import { computedSignals } from './computed-signals.js'

/** What signals are checked against. */
export interface Stage {
  readonly places: ReadonlyMap<string, Place>
  readonly equipment: ReadonlyMap<string, Equipment>
  readonly quantities: ReadonlyMap<string, Quantity>
  readonly report: Report
}

export interface Signals {
  readonly signals: ReadonlyMap<SignalName, SignalPlan>
  readonly patterns: readonly ProbePattern[]
  /** What the keeper said about the bad-measurement alarm of each declared signal; null turned off. */
  readonly wishes: ReadonlyMap<SignalName, BadMeasurementWish | null>
}

/** Everything that is listened to: what probes declare, what equipment needs, what is computed from them. */
export function resolveSignals(probes: readonly ProbeSettings[], stage: Stage): Signals {
  const signals = new Map<SignalName, SignalPlan>()
  const wishes = new Map<SignalName, BadMeasurementWish | null>()
  const patterns: ProbePattern[] = []
  for (const [index, probe] of probes.entries()) {
    const path = ['probes', index]
    if (isPattern(probe)) patterns.push(patternFrom(probe, path, stage))
    for (const { name, at } of declaredBy(probe, path)) {
      if (signals.has(name)) {
        stage.report(
          at,
          `"${name}" comes from another probe already`,
          'one signal, one probe: give one of them another place',
        )
        continue
      }
      const plan = signalOf(name, at, probe, stage)
      if (plan === null) continue
      signals.set(name, plan)
      wishes.set(name, wishOf(probe))
    }
  }
  for (const plan of evidenceSignals(stage, patterns))
    if (!signals.has(plan.signal)) signals.set(plan.signal, plan)
  for (const plan of computedSignals(stage, signals, patterns))
    if (!signals.has(plan.signal)) signals.set(plan.signal, plan)
  return { signals, patterns, wishes }
}

const isPattern = (probe: ProbeSettings): boolean => probe.topic?.includes('{') === true

interface Declared {
  readonly name: SignalName
  readonly at: Path
}

function declaredBy(probe: ProbeSettings, path: Path): readonly Declared[] {
  const named = Object.entries(probe.names ?? {}).map(([name, signal]) => ({
    signal,
    at: [...path, 'names', name],
  }))
  const own =
    probe.signal === undefined || isPattern(probe) ? [] : [{ signal: probe.signal, at: [...path, 'signal'] }]
  return [...own, ...named].flatMap(({ signal, at }) => {
    const parts = signalParts(signal)
    return parts === null ? [] : [{ name: signalName(parts.place, parts.quantity), at }]
  })
}

function signalOf(name: SignalName, at: Path, probe: ProbeSettings, stage: Stage): SignalPlan | null {
  const quantity = quantityOfSignal(name, at, stage)
  if (quantity === null) return null
  const path = at.slice(0, 2)
  checkUnit(probe, quantity, path, stage.report)
  return {
    signal: name,
    quantity,
    ...listeningOf(probe),
    plausible: plausibleFor(probe, quantity, path, stage.report),
    tests: testsFor(probe, quantity, path, stage.report),
    origin: 'probe',
  }
}

/** The quantity of a signal whose place and quantity are both known; null with the reason reported. */
export function quantityOfSignal(name: string, at: Path, stage: Stage): Quantity | null {
  const parts = signalParts(name)
  if (parts === null) return null
  const { place } = parts
  if (!isPlaceOrEquipment(place, stage)) {
    stage.report(
      at,
      `there is no place or equipment "${place}"`,
      didYouMean(place, placesAndEquipment(stage)),
    )
    return null
  }
  const quantity = stage.quantities.get(parts.quantity)
  if (quantity === undefined) {
    stage.report(
      at,
      `there is no quantity "${parts.quantity}"`,
      didYouMean(parts.quantity, stage.quantities.keys()),
    )
  }
  return quantity ?? null
}

const isPlaceOrEquipment = (id: string, stage: Stage): boolean =>
  stage.places.has(id) || stage.equipment.has(id)
const placesAndEquipment = (stage: Stage): string[] => [...stage.places.keys(), ...stage.equipment.keys()]

function checkUnit(probe: ProbeSettings, quantity: Quantity, path: Path, report: Report): void {
  const { unit } = probe
  if (probe.words && quantity.kind !== 'words') {
    report(
      [...path, 'words'],
      `${quantity.name} is a value, not words`,
      'leave words out, or take the quantity status',
    )
  }
  if (unit === undefined) return
  if (quantity.kind === 'words')
    report([...path, 'unit'], `${quantity.name} is words and has no unit`, 'leave it out')
  else reported(report, [...path, 'unit'], () => converter(unit, quantity.unit))
}

/** A probe that misses two readings may be unlucky; three is silence. Never under two minutes (contract 10). */
export function listeningOf(probe: ProbeSettings): Listening {
  const every = probe.every
  const rhythm = every ?? probe.heartbeat ?? null
  const staleTime: Milliseconds | null =
    probe.stale_time ?? (rhythm === null ? null : milliseconds(Math.max(3 * rhythm, minutes(2))))
  return {
    every,
    staleTime,
    lateLimit: probe.late_limit,
    futureLimit: probe.future_limit,
    responseTime: probe.response_time ?? null,
    via: probe.via ?? null,
  }
}

function wishOf({ bad_measurement: wish }: ProbeSettings): BadMeasurementWish | null {
  if (wish?.off === true) return null
  return {
    priority: wish?.priority ?? null,
    ladder: wish?.ladder ?? null,
    followUpDelay: wish?.follow_up_delay ?? null,
  }
}

function patternFrom(probe: ProbeSettings, path: Path, stage: Stage): ProbePattern {
  const parts = signalParts(probe.signal ?? '')
  const fixed = (part: string | undefined): string | null =>
    part === undefined || part.includes('{') ? null : part
  const place = fixed(parts?.place)
  const named = fixed(parts?.quantity)
  if (place !== null && !isPlaceOrEquipment(place, stage)) {
    stage.report(
      [...path, 'signal'],
      `there is no place or equipment "${place}"`,
      didYouMean(place, placesAndEquipment(stage)),
    )
  }
  const quantity = named === null ? undefined : stage.quantities.get(named)
  if (named !== null && quantity === undefined) {
    stage.report(
      [...path, 'signal'],
      `there is no quantity "${named}"`,
      didYouMean(named, stage.quantities.keys()),
    )
  }
  if (quantity === undefined) refuseLimits(probe, path, stage.report)
  else checkUnit(probe, quantity, path, stage.report)
  return {
    topic: probe.topic ?? '',
    place,
    quantity: named,
    listening: listeningOf(probe),
    plausible: quantity === undefined ? null : plausibleFor(probe, quantity, path, stage.report),
    tests: quantity === undefined ? null : testsFor(probe, quantity, path, stage.report),
    badMeasurement: wishOf(probe),
  }
}

/** Limits have a unit and a pattern of many quantities has many: nobody could say what they mean. */
function refuseLimits(probe: ProbeSettings, path: Path, report: Report): void {
  const right = 'name the quantity (signal: "{place}/dissolved_oxygen"), or declare these probes one by one'
  if (probe.plausible !== undefined)
    report([...path, 'plausible'], 'limits, but the topic leaves the quantity open', right)
  if (probe.tests !== undefined && probe.tests !== 'off') {
    report([...path, 'tests'], 'limits, but the topic leaves the quantity open', right)
  }
}

/** Signals that only equipment names: a pattern may deliver them, or a person; silence is judged as the pattern says. */
function evidenceSignals(stage: Stage, patterns: readonly ProbePattern[]): readonly SignalPlan[] {
  const named = [...stage.equipment.values()].flatMap((one) => Object.values(one.evidence))
  return [...new Set(named)].flatMap((signal) => {
    const quantity = stage.quantities.get(signalParts(signal)?.quantity ?? '')
    if (quantity === undefined) return []
    const pattern = patternOf(patterns, signal)
    const listening = pattern?.listening ?? entered
    return [
      {
        signal,
        quantity,
        ...listening,
        plausible: pattern?.plausible ?? null,
        tests: pattern?.tests ?? null,
        origin: 'evidence' as const,
      },
    ]
  })
}
