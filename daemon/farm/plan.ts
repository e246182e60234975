import type { AlarmRule, Priority } from '../alarms/rule.js'
import type { Ladder, Person, RosterRule } from '../callout/people.js'
import type { SignalName } from '../readings/signal.js'
import type { Quantity } from '../units/quantities.js'
import type { Milliseconds } from '../units/time.js'
import type { Crop } from './crops.js'
import type { Species } from './species.js'

/**
 * The farm with everything resolved: presets applied, globs expanded, defaults filled in, values in canonical units.
 * It is what the core works from; the same configuration always gives the same plan.
 */
export interface FarmPlan {
  readonly farm: Farm
  readonly places: ReadonlyMap<string, Place>
  readonly equipment: ReadonlyMap<string, Equipment>
  /** Signals that a probe or a piece of equipment declares, and those computed. */
  readonly signals: ReadonlyMap<SignalName, SignalPlan>
  /** The closed list and what the keeper declared more. */
  readonly quantities: ReadonlyMap<string, Quantity>
  readonly alarms: ReadonlyMap<string, AlarmRule>
  readonly groups: readonly { readonly id: string; readonly alarms: readonly string[] }[]
  readonly people: ReadonlyMap<string, Person>
  readonly roster: readonly RosterRule[]
  readonly ladders: ReadonlyMap<string, Ladder>
  readonly rules: HouseRules
  /** Channels that are switched on and off: siren, lamp, relay. */
  readonly switches: readonly string[]
  /** What is made only when it is first needed; see `on-demand.ts`. */
  readonly onDemand: OnDemand
}

/** What on-demand signals and alarms are made from: patterns of probes, and the keeper's wishes for such alarms. */
export interface OnDemand {
  readonly patterns: readonly ProbePattern[]
  /** Built-in rules about signals and parts of ourselves, as the keeper left them; null when turned off. */
  readonly rules: Readonly<Record<OnDemandRule, RuleTemplate | null>>
}

export const onDemandRules = ['bad-measurement', 'probe-clock', 'own-trouble'] as const
export type OnDemandRule = (typeof onDemandRules)[number]

/** An alarm rule that does not yet know what it is about. Null priority: by what it is about. */
export type RuleTemplate = Pick<
  AlarmRule,
  | 'rule'
  | 'onDelay'
  | 'offDelay'
  | 'priorityFrom'
  | 'ladder'
  | 'latching'
  | 'followUpDelay'
  | 'reAlarm'
  | 'releaseDelay'
  | 'cause'
  | 'consequence'
  | 'response'
  | 'origin'
> & { readonly priority: Priority | null }

/** A probe entry that stands for many signals: `larkfield/{place}/{quantity}`. */
export interface ProbePattern {
  readonly topic: string
  /** The place it is fixed to; null when the topic names it. */
  readonly place: string | null
  /** The quantity it is fixed to; null when the topic names it. */
  readonly quantity: string | null
  readonly listening: Listening
  /** Null where the quantity is open, or nothing was said. */
  readonly plausible: SignalPlan['plausible']
  readonly tests: ReadingTests | null
  /** Null when it is turned off for these probes. */
  readonly badMeasurement: BadMeasurementWish | null
}

/** How a probe entry is listened to, whatever signal it turns out to carry. */
export type Listening = Pick<
  SignalPlan,
  'every' | 'staleTime' | 'lateLimit' | 'futureLimit' | 'responseTime' | 'via'
>

/** What the keeper said about a probe's bad-measurement alarm; null: nothing. */
export interface BadMeasurementWish {
  readonly priority: Priority | null
  readonly ladder: string | null
  readonly followUpDelay: Milliseconds | null
}

export interface Farm {
  readonly name: string
  /** The name as it stands in topics: `larkfield`. */
  readonly id: string
  /** IANA name. */
  readonly timeZone: string
  /** Degrees north, degrees east. */
  readonly latitude: number | null
  readonly longitude: number | null
  /** Metres above sea level. */
  readonly altitude: number
  readonly showUnits: 'metric' | 'us'
}

export const placeKinds = ['tank', 'sump', 'biofilter', 'bed', 'pipe_run', 'air', 'outdoors'] as const
export type PlaceKind = (typeof placeKinds)[number]

export interface Place {
  readonly id: string
  readonly kind: PlaceKind
  readonly label: string
  /** m3 */
  readonly volume: number | null
  /** m2 of water surface */
  readonly surfaceArea: number | null
  readonly fish: Fish | null
  readonly levels: {
    readonly normal: number | null
    readonly high: number | null
    readonly pumpDry: number | null
  } | null
  readonly flowsTo: readonly string[]
  readonly media: { readonly volumeL: number; readonly specificSurface: number } | null
  readonly envelope: {
    readonly area: number
    readonly uValue: number
    readonly volume: number | null
    readonly airChanges: number | null
  } | null
  /** Minutes since local midnight. */
  readonly meals: readonly number[]
  /** m2 of what grows in a bed. */
  readonly plants: { readonly crop: Crop; readonly area: number } | null
}

export interface Fish {
  readonly species: Species
  readonly count: number
  /** kg each */
  readonly meanMass: number
  /** kg a day for all of them */
  readonly feedPerDay: number | null
  /** 0 to 1 */
  readonly feedProtein: number | null
  /** mg/L; below it fish die soon. Species' default unless set. */
  readonly criticalOxygen: number
}

export const equipmentKinds = [
  'pump',
  'blower',
  'heater',
  'fan',
  'vent',
  'valve',
  'feeder',
  'mains_supply',
  'battery_supply',
  'generator',
] as const
export type EquipmentKind = (typeof equipmentKinds)[number]

export const evidenceNames = [
  'current',
  'power',
  'flow',
  'pressure',
  'running',
  'commanded',
  'present',
  'status',
  'charge',
  'runtime',
] as const
export type EvidenceName = (typeof evidenceNames)[number]

export interface Equipment {
  readonly id: string
  readonly kind: EquipmentKind
  readonly label: string
  /** Places and equipment, `farm` spread out; what it stands for is in `servesFarm`. */
  readonly serves: readonly string[]
  readonly servesFarm: boolean
  readonly evidence: Readonly<Partial<Record<EvidenceName, SignalName>>>
  /** Usual band of each evidence, canonical units. */
  readonly normal: Readonly<Partial<Record<EvidenceName, readonly [number, number]>>>
  readonly pauses: readonly { readonly every: Milliseconds; readonly for: Milliseconds }[]
  /** W */
  readonly ratedPower: number | null
  readonly setPoint: number | null
  readonly standbyFor: string | null
}

/** How one signal is listened to and judged. */
export interface SignalPlan {
  readonly signal: SignalName
  readonly quantity: Quantity
  /** How often it should come; null when it comes when it likes (`reports: on_change`, entered, computed). */
  readonly every: Milliseconds | null
  /** Age at which it is stale; null when silence means nothing. */
  readonly staleTime: Milliseconds | null
  readonly lateLimit: Milliseconds
  readonly futureLimit: Milliseconds
  /** Time in which the probe shows 63 % of a change; null when not said. */
  readonly responseTime: Milliseconds | null
  /** Canonical unit; outside it the reading is bad. */
  readonly plausible: readonly [number, number] | null
  readonly tests: ReadingTests | null
  /** Radio node or gateway that it comes through. */
  readonly via: string | null
  readonly origin: 'probe' | 'evidence' | 'computed' | 'entered'
}

/** QARTOD tests that the keeper asked for; values in the canonical unit. */
export interface ReadingTests {
  readonly userRange: readonly [number, number] | null
  readonly spike: { readonly suspect: number; readonly fail: number } | null
  /** Per minute. */
  readonly rate: number | null
  readonly flatLine: { readonly suspect: number; readonly fail: number; readonly within: number } | null
}

/** The farm-wide rules of alarming. */
export interface HouseRules {
  readonly shelving: { readonly maximum: Milliseconds; readonly lifeSupportMaximum: Milliseconds }
  readonly chattering: {
    readonly activations: number
    readonly within: Milliseconds
    readonly overAfter: Milliseconds
  } | null
  readonly flood: {
    readonly startAbove: number
    readonly endBelow: number
    readonly window: Milliseconds
    readonly digestEvery: Milliseconds
  } | null
  /** Minutes since local midnight. */
  readonly day: { readonly from: number; readonly to: number }
  readonly system: {
    readonly ladder: string | null
    readonly followUpDelay: Milliseconds
    readonly interruptionToldAfter: Milliseconds
    readonly priority: Priority
  }
}
