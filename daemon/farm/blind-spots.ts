import { signalName, type SignalName } from '../readings/signal.js'
import { tellingEvidence } from './equipment-presets.js'
import { patternOf } from './on-demand.js'
import type { Equipment, FarmPlan, Place } from './plan.js'

/**
 * How a failure would come to light: by evidence of its own, by its consequences, by a pattern of probes if something
 * really publishes there, or not at all.
 */
export type Seen = 'at once' | 'late' | 'if published' | 'not seen'

/** One failure held against the evidence that the configuration declares. */
export interface BlindSpot {
  /** Place, equipment or node. */
  readonly of: string
  /** `Blower A stops` */
  readonly failure: string
  readonly seen: Seen
  /** What shows it, in words; null when nothing does. */
  readonly by: string | null
  /** The cheapest probe that would show it at once; null when it is seen at once already. */
  readonly wouldHelp: string | null
}

/**
 * Every failure that a night can bring, against what this configuration could see of it. A first form: it judges by
 * what is declared, not by what the detectors have learned.
 */
export function blindSpots(plan: FarmPlan): readonly BlindSpot[] {
  const equipment = [...plan.equipment.values()]
  const stocked = [...plan.places.values()].filter((place) => place.fish !== null)
  return [
    ...stocked.flatMap((tank) => ofTank(plan, tank)),
    ...equipment.filter((one) => one.kind in stops).map((one) => ofMachine(plan, one)),
    ...ofMains(plan, equipment),
    ...nodesOf(plan).map((node) => ofNode(plan, node)),
  ]
}

/** Stocked tanks of which nothing shows the oxygen, not even perhaps: they cannot be watched at all. */
export const unwatchedTanks = (plan: FarmPlan): readonly Place[] =>
  [...plan.places.values()].filter(
    (place) => place.fish !== null && delivered(plan, signalName(place.id, 'dissolved_oxygen')) === null,
  )

type Delivery = 'probe' | 'pattern'

/** What brings this signal: a probe of its own, a pattern that might, or nothing. */
function delivered(plan: FarmPlan, signal: SignalName): Delivery | null {
  if (plan.signals.get(signal)?.origin === 'probe') return 'probe'
  return patternOf(plan.onDemand.patterns, signal) === null ? null : 'pattern'
}

function ofTank(plan: FarmPlan, tank: Place): readonly BlindSpot[] {
  const spot = (quantity: string, failure: string, probe: string): BlindSpot => {
    const signal = signalName(tank.id, quantity)
    const by = delivered(plan, signal)
    return judged(
      { of: tank.id, failure: `${failure} ${tank.label}` },
      by === null ? [] : [{ signal, by }],
      [],
      probe,
    )
  }
  return [
    spot('dissolved_oxygen', 'oxygen falls in', `a dissolved oxygen probe (${tank.id}/dissolved_oxygen)`),
    spot(
      'water_temperature',
      'too warm or too cold in',
      `a water thermometer (${tank.id}/water_temperature)`,
    ),
    spot('water_level', 'water is lost from', `a level switch or probe (${tank.id}/water_level)`),
  ]
}

interface Shown {
  readonly signal: SignalName
  readonly by: Delivery
}

/** The best that direct evidence and consequences allow. Direct evidence by a probe beats one that is only possible. */
function judged(
  about: Pick<BlindSpot, 'of' | 'failure'>,
  direct: readonly Shown[],
  consequences: readonly Shown[],
  probe: string,
): BlindSpot {
  const sure = direct.find((one) => one.by === 'probe')
  if (sure !== undefined) return { ...about, seen: 'at once', by: sure.signal, wouldHelp: null }
  const late = consequences.find((one) => one.by === 'probe')
  const perhaps = direct[0] ?? (late === undefined ? consequences[0] : undefined)
  if (perhaps !== undefined) {
    const by = late === undefined ? perhaps.signal : `${perhaps.signal}, else late by ${late.signal}`
    return { ...about, seen: 'if published', by, wouldHelp: null }
  }
  if (late !== undefined) return { ...about, seen: 'late', by: late.signal, wouldHelp: probe }
  return { ...about, seen: 'not seen', by: null, wouldHelp: probe }
}

/** Machines whose standstill matters by night: how it is said, where it shows late, and the cheapest probe for it. */
const stops: Readonly<
  Record<string, { readonly fails: string; readonly late: readonly string[]; readonly probe: string }>
> = {
  blower: {
    fails: 'stops',
    late: ['dissolved_oxygen'],
    probe: 'an air pressure switch on its line (pressure)',
  },
  pump: {
    fails: 'stops',
    late: ['flow', 'water_level', 'dissolved_oxygen'],
    probe: 'a current clamp (current)',
  },
  heater: {
    fails: 'is off',
    late: ['water_temperature', 'air_temperature'],
    probe: 'a current clamp (current)',
  },
  fan: { fails: 'stops', late: ['air_temperature', 'relative_humidity'], probe: 'a current clamp (current)' },
}

function ofMachine(plan: FarmPlan, machine: Equipment): BlindSpot {
  const { fails, late, probe } = stops[machine.kind] ?? {
    fails: 'stops',
    late: [],
    probe: 'a current clamp (current)',
  }
  const evidence = tellingEvidence(machine).flatMap((name) => machine.evidence[name] ?? [])
  const served = machine.serves.flatMap((place) => late.map((quantity) => signalName(place, quantity)))
  const about = { of: machine.id, failure: `${machine.label} ${fails}` }
  return judged(about, shown(plan, evidence), shown(plan, served), probe)
}

const shown = (plan: FarmPlan, signals: readonly SignalName[]): readonly Shown[] =>
  signals.flatMap((signal) => {
    const by = delivered(plan, signal)
    return by === null ? [] : [{ signal, by }]
  })

function ofMains(plan: FarmPlan, equipment: readonly Equipment[]): readonly BlindSpot[] {
  const probe = 'a relay or plug on the mains that reports `present`, or a UPS with its status'
  const machines = equipment.filter((one) => one.kind in stops)
  const consequences = shown(
    plan,
    machines.flatMap((one) => Object.values(one.evidence)),
  )
  const supplies = equipment.filter((one) => one.kind === 'mains_supply')
  if (supplies.length === 0) {
    return [judged({ of: 'mains', failure: 'mains is lost (no supply declared)' }, [], consequences, probe)]
  }
  return supplies.map((supply) => {
    const evidence = tellingEvidence(supply).flatMap((name) => supply.evidence[name] ?? [])
    return judged(
      { of: supply.id, failure: `${supply.label} is lost` },
      shown(plan, evidence),
      consequences,
      probe,
    )
  })
}

const nodesOf = (plan: FarmPlan): readonly string[] => [
  ...new Set([...plan.signals.values()].flatMap((signal) => signal.via ?? [])),
]

/** The longest silence after which the loss of a node still counts as seen at once (common practice: five minutes). */
const promptly = 5 * 60_000

function ofNode(plan: FarmPlan, node: string): BlindSpot {
  const times = [...plan.signals.values()].flatMap((one) => (one.via === node ? (one.staleTime ?? []) : []))
  const about = { of: node, failure: `node ${node} is lost` }
  if (times.length === 0) {
    return {
      ...about,
      seen: 'not seen',
      by: null,
      wouldHelp: 'a probe on it that reports at a steady rate (`every`)',
    }
  }
  const first = Math.min(...times)
  const by = `silence of its probes for ${String(Math.round(first / 6000) / 10)} min`
  const prompt = first <= promptly
  return {
    ...about,
    seen: prompt ? 'at once' : 'late',
    by,
    wouldHelp: prompt ? null : 'a faster rate (`every`) for one of its probes',
  }
}
