import { signalName, signalParts, type SignalName } from '../readings/signal.js'
import type { EquipmentSettings } from '../settings/schema.js'
import { measureIn, type Measure } from '../units/convert.js'
import type { Quantity } from '../units/quantities.js'
import { evidenceQuantities } from './equipment-presets.js'
import { equipmentLabel } from './labels.js'
import { didYouMean } from '../units/nearest-name.js'
import { evidenceNames, type Equipment, type EvidenceName, type Place } from './plan.js'
import { reported, type Path, type Report } from './report.js'

/** What equipment is checked against. */
export interface Surroundings {
  readonly places: ReadonlyMap<string, Place>
  readonly equipmentIds: readonly string[]
  readonly quantities: ReadonlyMap<string, Quantity>
  readonly report: Report
}

/** The declared equipment with everything filled in; `farm` in `serves` spread out. */
export function resolveEquipment(
  written: readonly EquipmentSettings[],
  around: Surroundings,
): ReadonlyMap<string, Equipment> {
  return new Map(
    written.map((one, index) => {
      const path = ['equipment', index]
      checkStandby(one, path, around)
      return [one.id, equipmentOf(one, path, around)]
    }),
  )
}

function equipmentOf(one: EquipmentSettings, path: Path, around: Surroundings): Equipment {
  const evidence = evidenceOf(one, path, around)
  return {
    id: one.id,
    kind: one.kind,
    label: one.label ?? equipmentLabel(one.id),
    ...servesOf(one, path, around),
    evidence,
    normal: normalOf(one, evidence, path, around),
    pauses: (one.pauses ?? []).map((pause, index) => {
      if (pause.for >= pause.every) {
        const at = [...path, 'pauses', index, 'for']
        around.report(at, 'the pause lasts as long as the time between two of them', 'write a shorter one')
      }
      return { every: pause.every, for: pause.for }
    }),
    ratedPower: one.rated_power ?? null,
    setPoint: setPointOf(one, path, around),
    standbyFor: one.standby_for ?? null,
  }
}

/**
 * A mains supply that says nothing serves the farm: that is what mains is, and forgetting the line must not leave the
 * blowers' alarms untied from the power cut that stops them. All other equipment serves only what it names.
 */
function servesOf(
  one: EquipmentSettings,
  path: Path,
  around: Surroundings,
): Pick<Equipment, 'serves' | 'servesFarm'> {
  const names = one.serves ?? (one.kind === 'mains_supply' ? ['farm'] : [])
  const known = [...around.places.keys(), ...around.equipmentIds].filter((id) => id !== one.id)
  for (const [index, name] of names.entries()) {
    if (name === 'farm' || known.includes(name)) continue
    const why = name === one.id ? `${name} cannot serve itself` : `there is no place or equipment "${name}"`
    around.report([...path, 'serves', index], why, `${didYouMean(name, known)} (or farm for everything)`)
  }
  const servesFarm = names.includes('farm')
  return { serves: servesFarm ? known : names.filter((name) => known.includes(name)), servesFarm }
}

function evidenceOf(one: EquipmentSettings, path: Path, around: Surroundings): Equipment['evidence'] {
  const found: Partial<Record<EvidenceName, SignalName>> = {}
  for (const name of evidenceNames) {
    const signal = one.evidence?.[name]
    if (signal === undefined) continue
    const parts = signalParts(signal)
    const at = [...path, 'evidence', name]
    const wrong = parts === null ? null : unfit(name, parts, around)
    if (wrong !== null) around.report(at, wrong.why, wrong.right)
    if (parts !== null) found[name] = signalName(parts.place, parts.quantity)
  }
  return found
}

interface Unfit {
  readonly why: string
  readonly right: string
}

function unfit(
  name: EvidenceName,
  { place, quantity }: { readonly place: string; readonly quantity: string },
  around: Surroundings,
): Unfit | null {
  const known = [...around.places.keys(), ...around.equipmentIds]
  if (!known.includes(place))
    return { why: `there is no place or equipment "${place}"`, right: didYouMean(place, known) }
  const found = around.quantities.get(quantity)
  if (found === undefined) {
    return {
      why: `there is no quantity "${quantity}"`,
      right: didYouMean(quantity, around.quantities.keys()),
    }
  }
  const allowed = evidenceQuantities[name]
  // A quantity of the keeper's own (`pump_pressure`, kPa) does where its unit does.
  const fits = allowed.some(
    (one) => one === quantity || (around.quantities.get(one)?.unit === found.unit && found.kind === 'number'),
  )
  if (fits) return null
  return { why: `${quantity} is no evidence of ${name}`, right: `give a signal of ${allowed.join(' or ')}` }
}

function normalOf(
  one: EquipmentSettings,
  evidence: Equipment['evidence'],
  path: Path,
  around: Surroundings,
): Equipment['normal'] {
  const found: Partial<Record<EvidenceName, readonly [number, number]>> = {}
  for (const name of evidenceNames) {
    const range = one.normal?.[name]
    if (range === undefined) continue
    const at = [...path, 'normal', name]
    const quantity = around.quantities.get(evidence[name]?.split('/')[1] ?? '')
    if (quantity === undefined) {
      if (evidence[name] === undefined) {
        around.report(
          at,
          `a usual band of ${name}, but no evidence of that name`,
          `add evidence: { ${name}: … }`,
        )
      }
      continue
    }
    const band = bandOf(range, quantity.unit, at, around.report)
    if (band !== null) found[name] = band
  }
  return found
}

/** Two limits in a unit, the lower first; null with the reason reported. */
export function bandOf(
  [low, high]: readonly [Measure, Measure],
  unit: string,
  path: Path,
  report: Report,
): readonly [number, number] | null {
  const from = reported(report, [...path, 0], () => measureIn(low, unit))
  const to = reported(report, [...path, 1], () => measureIn(high, unit))
  if (from === null || to === null) return null
  if (from < to) return [from, to]
  report(path, 'the first limit does not lie below the second', 'write the lower one first')
  return null
}

/** Set points are temperatures: of water or air that a heater, fan or vent holds. */
function setPointOf(one: EquipmentSettings, path: Path, { report }: Surroundings): number | null {
  const written = one.set_point
  if (written === undefined) return null
  const at = [...path, 'set_point']
  if (one.kind === 'heater' || one.kind === 'fan' || one.kind === 'vent') {
    return reported(report, at, () => measureIn(written, 'Cel'))
  }
  report(at, `a ${one.kind} holds no temperature`, 'leave it out')
  return null
}

function checkStandby(one: EquipmentSettings, path: Path, around: Surroundings): void {
  const main = one.standby_for
  if (main === undefined || (around.equipmentIds.includes(main) && main !== one.id)) return
  const others = around.equipmentIds.filter((id) => id !== one.id)
  const why = main === one.id ? `${main} cannot stand in for itself` : `there is no equipment "${main}"`
  around.report([...path, 'standby_for'], why, didYouMean(main, others))
}
