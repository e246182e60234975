/** What a signal may be of: its canonical unit and what kind of value it carries. Contract 11. */
export interface Quantity {
  readonly name: string
  /** UCUM code of the unit in which the value is stored and judged; '' for words. */
  readonly unit: string
  readonly kind: 'number' | 'two-valued' | 'words'
  /** What a person calls it; other languages are in callout/words. */
  readonly label: string
  /** What no probe can truly report, in the canonical unit: beyond it the reading is bad. */
  readonly possible: readonly [number, number] | null
  /** Decimals that a person cares for. */
  readonly decimals: number
}

type Named = readonly [name: string, unit: string, label: string]

const number = (
  [name, unit, label]: Named,
  possible: readonly [number, number],
  decimals: number,
): Quantity => ({ name, unit, kind: 'number', label, possible, decimals })

const twoValued = (name: string, label: string): Quantity => ({
  name,
  unit: '1',
  kind: 'two-valued',
  label,
  possible: [0, 1],
  decimals: 0,
})

/**
 * The closed list of quantities. Limits of the possible are wide on purpose (physics or the scale's own ends, common
 * practice): a farm's own limits go into `plausible:`.
 */
export const quantities: readonly Quantity[] = [
  number(['dissolved_oxygen', 'mg/L', 'oxygen'], [0, 60], 1),
  number(['oxygen_saturation', '%', 'oxygen saturation'], [0, 600], 0),
  number(['oxygen_demand', 'mg/(L.h)', 'oxygen demand'], [0, 1000], 1),
  number(['oxygen_minutes_if_air_stops', 'min', 'oxygen minutes if air stops'], [0, 1e6], 0),
  number(['oxygen_minutes_on_trend', 'min', 'oxygen minutes on this trend'], [0, 1e6], 0),
  number(['water_temperature', 'Cel', 'water temperature'], [-5, 60], 1),
  number(['ph', '[pH]', 'pH'], [0, 14], 1),
  number(['conductivity', 'uS/cm', 'conductivity'], [0, 200_000], 0),
  number(['salinity', 'g/kg', 'salinity'], [0, 100], 1),
  number(['total_ammonia_nitrogen', 'mg/L', 'total ammonia (TAN)'], [0, 1000], 2),
  number(['unionised_ammonia_nitrogen', 'mg/L', 'un-ionised ammonia'], [0, 1000], 3),
  number(['nitrite_nitrogen', 'mg/L', 'nitrite'], [0, 1000], 2),
  number(['nitrate_nitrogen', 'mg/L', 'nitrate'], [0, 10_000], 0),
  number(['alkalinity', 'mg/L', 'alkalinity'], [0, 10_000], 0),
  number(['hardness', 'mg/L', 'hardness'], [0, 10_000], 0),
  number(['chloride', 'mg/L', 'chloride'], [0, 40_000], 0),
  number(['carbon_dioxide', 'mg/L', 'carbon dioxide'], [0, 2000], 0),
  number(['water_level', 'cm', 'water level'], [-1000, 10_000], 0),
  number(['flow', 'L/min', 'flow'], [-1e6, 1e6], 0),
  number(['current', 'A', 'current'], [-10_000, 10_000], 1),
  number(['power', 'W', 'power'], [-1e7, 1e7], 0),
  number(['air_pressure', 'kPa', 'air pressure'], [-100, 10_000], 1),
  number(['barometric_pressure', 'kPa', 'barometric pressure'], [30, 120], 1),
  twoValued('present', 'supply'),
  { name: 'status', unit: '', kind: 'words', label: 'status', possible: null, decimals: 0 },
  number(['charge', '%', 'charge'], [0, 100], 0),
  number(['runtime', 'min', 'battery time left'], [0, 1e6], 0),
  number(['voltage', 'V', 'voltage'], [-100_000, 100_000], 1),
  number(['air_temperature', 'Cel', 'air temperature'], [-90, 90], 1),
  number(['relative_humidity', '%', 'humidity'], [0, 110], 0),
  number(['vapour_pressure_deficit', 'kPa', 'vapour pressure deficit'], [0, 80], 2),
  number(['dew_point', 'Cel', 'dew point'], [-100, 90], 1),
  number(['humidity_ratio', 'g/kg', 'water in the air'], [0, 1000], 1),
  number(['cover_temperature', 'Cel', 'cover temperature'], [-90, 90], 1),
  number(['condensation_margin', 'K', 'margin before the cover drips'], [-100, 200], 1),
  number(['frost_margin', 'K', 'margin before leaves freeze'], [-90, 90], 1),
  number(['heat_loss', 'W', 'heat loss'], [-1e7, 1e7], 0),
  number(['heater_margin', 'W', 'heater margin'], [-1e7, 1e7], 0),
  number(['hours_until_too_cold_if_heat_stops', 'h', 'hours until cold if heat stops'], [0, 1e5], 1),
  number(['evaporation', 'L/d', 'evaporation'], [0, 1e6], 0),
  number(['ammonia_criterion_chronic', 'mg/L', 'chronic ammonia criterion'], [0, 1000], 2),
  number(['ph_where_ammonia_harms', '[pH]', 'pH where ammonia harms'], [0, 14], 1),
  number(['ammonia_load', 'g/d', 'ammonia from the feed'], [0, 1e6], 0),
  number(['nitrification_capacity', 'g/d', 'nitrification capacity'], [0, 1e6], 0),
  number(['alkalinity_consumption', 'g/d', 'alkalinity consumption'], [0, 1e7], 0),
  number(['nitrate_gain', 'mg/(L.d)', 'nitrate gained'], [-1000, 1000], 1),
  number(['chloride_to_nitrite_ratio', '1', 'chloride to nitrite'], [0, 1e6], 0),
  number(['total_ammonia_nitrogen_tomorrow', 'mg/L', 'total ammonia tomorrow'], [0, 1000], 2),
  number(['nitrite_nitrogen_tomorrow', 'mg/L', 'nitrite tomorrow'], [0, 1000], 2),
  number(['air_temperature_forecast_minimum', 'Cel', 'forecast minimum'], [-90, 90], 1),
  number(['photon_flux', 'umol/(m2.s)', 'photon flux'], [0, 5000], 0),
  number(['irradiance', 'W/m2', 'irradiance'], [-50, 2000], 0),
  twoValued('contact', 'contact'),
  twoValued('running', 'running'),
  twoValued('commanded', 'commanded'),
]

const byName = new Map(quantities.map((quantity) => [quantity.name, quantity]))

/** The quantity of that name from the closed list; undefined if there is none. */
export const quantityNamed = (name: string): Quantity | undefined => byName.get(name)
