/** What is used of psychrolib 1.1.1, which has no types of its own. SI: degC, Pa, kg/kg, J/kg, m3/kg; humidity 0 to 1. */
declare module 'psychrolib' {
  interface Psychrometrics {
    readonly SI: number
    SetUnitSystem(system: number): void
    GetStandardAtmPressure(altitude: number): number
    GetSatVapPres(dryBulb: number): number
    GetSatHumRatio(dryBulb: number, pressure: number): number
    GetSatAirEnthalpy(dryBulb: number, pressure: number): number
    GetDryAirVolume(dryBulb: number, pressure: number): number
    GetHumRatioFromTWetBulb(dryBulb: number, wetBulb: number, pressure: number): number
    GetHumRatioFromRelHum(dryBulb: number, relativeHumidity: number, pressure: number): number
    GetRelHumFromTWetBulb(dryBulb: number, wetBulb: number, pressure: number): number
    GetTDewPointFromVapPres(dryBulb: number, vapourPressure: number): number
    GetTDewPointFromTWetBulb(dryBulb: number, wetBulb: number, pressure: number): number
    GetTWetBulbFromRelHum(dryBulb: number, relativeHumidity: number, pressure: number): number
    GetMoistAirEnthalpy(dryBulb: number, humidityRatio: number): number
    GetMoistAirVolume(dryBulb: number, humidityRatio: number, pressure: number): number
    GetMoistAirDensity(dryBulb: number, humidityRatio: number, pressure: number): number
  }
  const psychrolib: Psychrometrics
  export { psychrolib as default }
}
