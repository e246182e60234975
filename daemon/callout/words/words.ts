import type { Priority } from '../../alarms/rule.js'
import type { Trend } from '../message-facts.js'

/** The quantities of the closed list (contract of `units/quantities.ts`; a test compares the two). */
export type QuantityWord =
  | 'dissolved_oxygen'
  | 'oxygen_saturation'
  | 'oxygen_demand'
  | 'oxygen_minutes_if_air_stops'
  | 'oxygen_minutes_on_trend'
  | 'water_temperature'
  | 'ph'
  | 'conductivity'
  | 'salinity'
  | 'total_ammonia_nitrogen'
  | 'unionised_ammonia_nitrogen'
  | 'nitrite_nitrogen'
  | 'nitrate_nitrogen'
  | 'alkalinity'
  | 'hardness'
  | 'chloride'
  | 'carbon_dioxide'
  | 'water_level'
  | 'flow'
  | 'current'
  | 'power'
  | 'air_pressure'
  | 'barometric_pressure'
  | 'present'
  | 'status'
  | 'charge'
  | 'runtime'
  | 'voltage'
  | 'air_temperature'
  | 'relative_humidity'
  | 'vapour_pressure_deficit'
  | 'dew_point'
  | 'photon_flux'
  | 'irradiance'
  | 'humidity_ratio'
  | 'cover_temperature'
  | 'condensation_margin'
  | 'frost_margin'
  | 'heat_loss'
  | 'heater_margin'
  | 'hours_until_too_cold_if_heat_stops'
  | 'evaporation'
  | 'ammonia_criterion_chronic'
  | 'ph_where_ammonia_harms'
  | 'ammonia_load'
  | 'nitrification_capacity'
  | 'alkalinity_consumption'
  | 'nitrate_gain'
  | 'chloride_to_nitrite_ratio'
  | 'total_ammonia_nitrogen_tomorrow'
  | 'nitrite_nitrogen_tomorrow'
  | 'air_temperature_forecast_minimum'
  | 'contact'
  | 'running'
  | 'commanded'

/** What can be the matter with something: the detectors' verdict modes, then words of our own. */
export const modes = [
  'normal',
  'stopped',
  'blocked',
  'dry',
  'worn',
  'backflow',
  'line_open',
  'clogged',
  'weak',
  'off',
  'stuck_on',
  'stuck_open',
  'stuck_closed',
  'lost',
  'unstable',
  'low',
  'not_restored',
  'leak',
  'overflow',
  'aeration_lost',
  'circulation_lost',
  'biofilter_failing',
  'silent',
  'flat',
  'drifting',
  'fouled',
  'unplugged',
  'spiking',
  'clock',
  'no_reading',
  'failing',
  'not_as_commanded',
  'changing_fast',
] as const
export type Mode = (typeof modes)[number]

/**
 * Everything that Bellwater says to people in texts and mails, in one language. Full spelling with accents: texts are
 * brought into the GSM alphabet afterwards. Phrases carry no full stop at their end unless they are sentences.
 * Another language is one more file of this shape and a line in `choose.ts`.
 */
export interface Words {
  /** BCP 47 */
  readonly language: string
  readonly decimalMark: '.' | ','
  readonly priority: Readonly<Record<Priority, string>>
  readonly quantity: Readonly<Record<QuantityWord, string>>
  /** Said of something after its name: `Blower A` + `lost pressure`. */
  readonly mode: Readonly<Record<Mode, string>>
  readonly trend: Readonly<Record<Exclude<Trend, 'unknown'>, string>>
  /** A two-valued quantity that is on or off, after its name. */
  readonly state: (on: boolean) => string
  /** Monday first, short. */
  readonly weekdays: readonly string[]
  /** January first, short. */
  readonly months: readonly string[]
  readonly text: ShortPhrases
  readonly mail: LongPhrases
}

/** Phrases of the short text. */
export interface ShortPhrases {
  readonly test: string
  readonly reply: (number: number) => string
  readonly limit: (value: string) => string
  readonly since: (time: string) => string
  readonly left: (span: string, limit: string) => string
  /** An occurrence that was acknowledged and is still so. */
  readonly again: string
  readonly comesAndGoes: string
  readonly mutedWhile: string
  readonly also: string
  readonly andMore: (count: number) => string
  readonly more: (count: number) => string
  readonly notAnswered: (names: string) => string
  // In these three `what` is '' where the place alone says it.
  readonly backToNormal: (what: string) => string
  readonly alsoOver: string
  readonly at: (time: string) => string
  readonly was: (number: number) => string
  readonly digest: (count: number) => string
  readonly floodOver: (activations: number) => string
  readonly chatteringOver: (what: string) => string
  readonly activations: (count: number) => string
  readonly onlyATest: string
  readonly pleaseReply: (number: number) => string
  readonly interrupted: (from: string, to: string) => string
  readonly nothingOpen: string
  readonly stillOpen: (count: number) => string
  readonly outOfService: (what: string) => string
  readonly until: (time: string) => string
  readonly by: (person: string) => string
  readonly morning: (count: number) => string
  /** When nothing better is known of what is wrong. */
  readonly somethingWrong: string
}

/** Labels and sentences of mails and pages. */
export interface LongPhrases {
  readonly measured: string
  readonly limit: string
  readonly state: string
  readonly since: string
  readonly timeLeft: string
  readonly cause: string
  readonly consequence: string
  readonly response: string
  readonly also: string
  readonly alarms: string
  readonly tried: string
  readonly step: (step: number) => string
  readonly repeated: string
  readonly again: string
  readonly chattering: string
  readonly answer: (number: number) => string
  readonly answerTest: (number: number) => string
  readonly answerLink: string
  readonly testExplained: string
  readonly interruptionExplained: string
  readonly floodExplained: string
  readonly outOfServiceExplained: string
  readonly safety: { readonly water: string; readonly generator: string }
  readonly informs: string
}
