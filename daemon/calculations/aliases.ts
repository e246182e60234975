/** The farm's own names of quantities (units/quantities.ts) beside those of the catalogue. */
export const quantityAliases: Readonly<Record<string, string>> = {
  oxygen_saturation: 'oxygen_saturation_percent',
  dissolved_oxygen: 'dissolved_oxygen_from_percent',
  carbon_dioxide: 'free_co2',
  salinity: 'salinity_from_specific_conductance',
  unionised_ammonia: 'unionised_ammonia_nitrogen',
  oxygen_minutes_if_air_stops: 'minutes_to_critical_no_air',
  barometric_pressure: 'standard_pressure',
  heat_loss: 'conduction_heat_loss',
  ammonia_criterion_chronic: 'ammonia_ccc',
  ph_where_ammonia_harms: 'ammonia_headroom_pH',
  ammonia_load: 'tan_production',
  alkalinity_consumption: 'alkalinity_demand',
  total_ammonia_nitrogen_tomorrow: 'total_ammonia_nitrogen_after',
  nitrite_nitrogen_tomorrow: 'nitrite_nitrogen_after',
}

/** Names of inputs as the farm writes them; taken where the calculation has no input of that very name. */
export const inputAliases: Readonly<Record<string, string>> = {
  ph: 'pH',
  water_temperature: 'temperature',
  air_temperature: 'temperature',
  conductivity: 'specific_conductance',
  tan: 'total_ammonia_nitrogen',
  humidity: 'relative_humidity',
  barometric_pressure: 'pressure',
  do: 'dissolved_oxygen',
}
