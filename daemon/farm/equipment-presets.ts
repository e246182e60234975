import type { Equipment, EquipmentKind, EvidenceName, PlaceKind } from './plan.js'

/** What the farm may expect of one kind of equipment before the keeper has said anything about it. */
export interface EquipmentPreset {
  /** It feeds others with electricity: when it is gone they cannot run. */
  readonly isSupply: boolean
  /** Evidence that shows at once that it has stopped; any one of these is enough. Cheapest first. */
  readonly showsStop: readonly EvidenceName[]
  /** Evidence that tells little without a usual band (`normal:`): a flow of 60 L/min may be all or half of it. */
  readonly bands: readonly EvidenceName[]
}

const preset = (showsStop: readonly EvidenceName[], bands: readonly EvidenceName[]): EquipmentPreset => ({
  isSupply: false,
  showsStop,
  bands,
})

const supply = (showsStop: readonly EvidenceName[]): EquipmentPreset => ({
  isSupply: true,
  showsStop,
  bands: [],
})

/** Which evidence says what, by kind of equipment (common practice; Ebeling asks for pressure of air and flow of water). */
export const equipmentPresets: Readonly<Record<EquipmentKind, EquipmentPreset>> = {
  pump: preset(['current', 'power', 'flow', 'running'], ['power', 'flow']),
  blower: preset(['pressure', 'current', 'power', 'running'], ['power', 'pressure']),
  heater: preset(['current', 'power'], ['power']),
  fan: preset(['current', 'power', 'running'], ['power']),
  vent: preset(['running', 'status'], []),
  valve: preset(['running', 'flow', 'status'], ['flow']),
  feeder: preset(['current', 'power', 'running'], ['power']),
  mains_supply: supply(['present', 'status']),
  battery_supply: supply(['charge', 'status', 'runtime']),
  generator: supply(['present', 'running', 'status']),
}

/** Quantities that each evidence may be of; a declared quantity of the same unit does as well. */
export const evidenceQuantities: Readonly<Record<EvidenceName, readonly string[]>> = {
  current: ['current'],
  power: ['power'],
  flow: ['flow'],
  pressure: ['air_pressure'],
  running: ['running', 'contact'],
  commanded: ['commanded', 'contact'],
  present: ['present', 'contact'],
  status: ['status'],
  charge: ['charge'],
  runtime: ['runtime'],
}

const water: readonly string[] = [
  'dissolved_oxygen',
  'oxygen_saturation',
  'oxygen_minutes_if_air_stops',
  'oxygen_minutes_on_trend',
  'water_temperature',
  'ph',
  'conductivity',
  'salinity',
  'total_ammonia_nitrogen',
  'unionised_ammonia_nitrogen',
  'nitrite_nitrogen',
  'nitrate_nitrogen',
  'alkalinity',
  'hardness',
  'chloride',
  'carbon_dioxide',
  'water_level',
  'ammonia_criterion_chronic',
  'ph_where_ammonia_harms',
  'ammonia_load',
  'nitrification_capacity',
  'alkalinity_consumption',
  'nitrate_gain',
  'chloride_to_nitrite_ratio',
  'total_ammonia_nitrogen_tomorrow',
  'nitrite_nitrogen_tomorrow',
]
const air: readonly string[] = [
  'air_temperature',
  'relative_humidity',
  'vapour_pressure_deficit',
  'dew_point',
  'humidity_ratio',
  'cover_temperature',
  'condensation_margin',
  'frost_margin',
  'heat_loss',
  'heater_margin',
  'air_temperature_forecast_minimum',
  'photon_flux',
  'irradiance',
  'barometric_pressure',
]
const runsOnElectricity: readonly string[] = [
  'current',
  'power',
  'voltage',
  'present',
  'status',
  'charge',
  'runtime',
  'running',
  'commanded',
]

/**
 * Whether a pattern over places (`tank-*`, `*`) should reach this quantity at this kind of place or at equipment.
 * A name written out in full is never questioned; nor is a quantity that the keeper declared.
 */
export function isUsualAt(quantity: string, where: PlaceKind | 'equipment'): boolean {
  const isAir = air.includes(quantity)
  if (where === 'equipment') return !water.includes(quantity) && !isAir
  if (where === 'air' || where === 'outdoors')
    return !water.includes(quantity) && !runsOnElectricity.includes(quantity)
  return !isAir && !runsOnElectricity.includes(quantity)
}

/** Evidence of a machine that would tell its standstill as things are: there, and with a usual band where it needs one. */
export const tellingEvidence = (machine: Equipment): readonly EvidenceName[] =>
  equipmentPresets[machine.kind].showsStop.filter(
    (name) => machine.evidence[name] !== undefined && !lacksBand(machine, name),
  )

/** Whether this evidence is there and waits for a usual band. */
export const lacksBand = (machine: Equipment, name: EvidenceName): boolean =>
  machine.evidence[name] !== undefined &&
  machine.normal[name] === undefined &&
  equipmentPresets[machine.kind].bands.includes(name)
