import type { Branded } from './time.js'

// Numbers that carry their unit in their type only. A constructor says "this number is in that unit"; it converts
// nothing (convert.ts does) and checks nothing (the functions that take the value say what they accept).

// Temperature
export type Celsius = Branded<'Cel'>
export const celsius = (value: number): Celsius => value as Celsius
export type Kelvin = Branded<'K'>
export const kelvin = (value: number): Kelvin => value as Kelvin
export type KelvinDifference = Branded<'K difference'>
export const kelvinDifference = (value: number): KelvinDifference => value as KelvinDifference

// Pressure
export type Pascals = Branded<'Pa'>
export const pascals = (value: number): Pascals => value as Pascals
export type Kilopascals = Branded<'kPa'>
export const kilopascals = (value: number): Kilopascals => value as Kilopascals
export type Atmospheres = Branded<'atm'>
export const atmospheres = (value: number): Atmospheres => value as Atmospheres

// Concentration
export type MilligramsPerLitre = Branded<'mg/L'>
export const milligramsPerLitre = (value: number): MilligramsPerLitre => value as MilligramsPerLitre
export type MilligramsPerLitreAsN = Branded<'mg/L as N'>
export const milligramsPerLitreAsN = (value: number): MilligramsPerLitreAsN => value as MilligramsPerLitreAsN
export type MilligramsPerLitreAsNH3 = Branded<'mg/L as NH3'>
export const milligramsPerLitreAsNH3 = (value: number): MilligramsPerLitreAsNH3 =>
  value as MilligramsPerLitreAsNH3
export type MilligramsPerLitreAsNH4 = Branded<'mg/L as NH4'>
export const milligramsPerLitreAsNH4 = (value: number): MilligramsPerLitreAsNH4 =>
  value as MilligramsPerLitreAsNH4
export type MilligramsPerLitreAsNO2 = Branded<'mg/L as NO2'>
export const milligramsPerLitreAsNO2 = (value: number): MilligramsPerLitreAsNO2 =>
  value as MilligramsPerLitreAsNO2
export type MilligramsPerLitreAsCaCO3 = Branded<'mg/L as CaCO3'>
export const milligramsPerLitreAsCaCO3 = (value: number): MilligramsPerLitreAsCaCO3 =>
  value as MilligramsPerLitreAsCaCO3
export type MilligramsPerLitreAsHCO3 = Branded<'mg/L as HCO3'>
export const milligramsPerLitreAsHCO3 = (value: number): MilligramsPerLitreAsHCO3 =>
  value as MilligramsPerLitreAsHCO3
export type GramsPerKilogram = Branded<'g/kg'>
export const gramsPerKilogram = (value: number): GramsPerKilogram => value as GramsPerKilogram
export type GramsPerLitre = Branded<'g/L'>
export const gramsPerLitre = (value: number): GramsPerLitre => value as GramsPerLitre
export type MicrosiemensPerCentimetre = Branded<'uS/cm'>
export const microsiemensPerCentimetre = (value: number): MicrosiemensPerCentimetre =>
  value as MicrosiemensPerCentimetre
export type PartsPerMillion = Branded<'ppm'>
export const partsPerMillion = (value: number): PartsPerMillion => value as PartsPerMillion

// Numbers without dimension, each with its own meaning
export type Ph = Branded<'pH'>
export const ph = (value: number): Ph => value as Ph
export type Percent = Branded<'%'>
export const percent = (value: number): Percent => value as Percent
export type Fraction = Branded<'fraction of one'>
export const fraction = (value: number): Fraction => value as Fraction

// Mass, size, time
export type Milligrams = Branded<'mg'>
export const milligrams = (value: number): Milligrams => value as Milligrams
export type Grams = Branded<'g'>
export const grams = (value: number): Grams => value as Grams
export type Kilograms = Branded<'kg'>
export const kilograms = (value: number): Kilograms => value as Kilograms
export type Litres = Branded<'L'>
export const litres = (value: number): Litres => value as Litres
export type CubicMetres = Branded<'m3'>
export const cubicMetres = (value: number): CubicMetres => value as CubicMetres
export type SquareMetres = Branded<'m2'>
export const squareMetres = (value: number): SquareMetres => value as SquareMetres
export type Metres = Branded<'m'>
export const metres = (value: number): Metres => value as Metres
export type MetresPerSecond = Branded<'m/s'>
export const metresPerSecond = (value: number): MetresPerSecond => value as MetresPerSecond
export type InMinutes = Branded<'min'>
export const inMinutes = (value: number): InMinutes => value as InMinutes
export type InHours = Branded<'h'>
export const inHours = (value: number): InHours => value as InHours
export type PerHour = Branded<'1/h'>
export const perHour = (value: number): PerHour => value as PerHour

// Rates
export type GramsPerDay = Branded<'g/d'>
export const gramsPerDay = (value: number): GramsPerDay => value as GramsPerDay
export type KilogramsPerDay = Branded<'kg/d'>
export const kilogramsPerDay = (value: number): KilogramsPerDay => value as KilogramsPerDay
export type KilogramsPerHour = Branded<'kg/h'>
export const kilogramsPerHour = (value: number): KilogramsPerHour => value as KilogramsPerHour
export type GramsPerSquareMetreDay = Branded<'g/(m2.d)'>
export const gramsPerSquareMetreDay = (value: number): GramsPerSquareMetreDay =>
  value as GramsPerSquareMetreDay
export type GramsPerLitreDay = Branded<'g/(L.d)'>
export const gramsPerLitreDay = (value: number): GramsPerLitreDay => value as GramsPerLitreDay
export type SquareMetresPerCubicMetre = Branded<'m2/m3'>
export const squareMetresPerCubicMetre = (value: number): SquareMetresPerCubicMetre =>
  value as SquareMetresPerCubicMetre
export type MilligramsPerKilogramHour = Branded<'mg/(kg.h)'>
export const milligramsPerKilogramHour = (value: number): MilligramsPerKilogramHour =>
  value as MilligramsPerKilogramHour
export type MilligramsPerLitreHour = Branded<'mg/(L.h)'>
export const milligramsPerLitreHour = (value: number): MilligramsPerLitreHour =>
  value as MilligramsPerLitreHour
export type PercentPerDay = Branded<'%/d'>
export const percentPerDay = (value: number): PercentPerDay => value as PercentPerDay
export type PerSquareMetre = Branded<'1/m2'>
export const perSquareMetre = (value: number): PerSquareMetre => value as PerSquareMetre

// Heat and moist air
export type Watts = Branded<'W'>
export const watts = (value: number): Watts => value as Watts
export type WattsPerKelvin = Branded<'W/K'>
export const wattsPerKelvin = (value: number): WattsPerKelvin => value as WattsPerKelvin
export type WattsPerSquareMetreKelvin = Branded<'W/(m2.K)'>
export const wattsPerSquareMetreKelvin = (value: number): WattsPerSquareMetreKelvin =>
  value as WattsPerSquareMetreKelvin
export type KilowattHours = Branded<'kWh'>
export const kilowattHours = (value: number): KilowattHours => value as KilowattHours
export type MegajoulesPerSquareMetre = Branded<'MJ/m2'>
export const megajoulesPerSquareMetre = (value: number): MegajoulesPerSquareMetre =>
  value as MegajoulesPerSquareMetre
export type Millimetres = Branded<'mm'>
export const millimetres = (value: number): Millimetres => value as Millimetres
export type KilogramsPerKilogram = Branded<'kg/kg'>
export const kilogramsPerKilogram = (value: number): KilogramsPerKilogram => value as KilogramsPerKilogram
export type JoulesPerKilogram = Branded<'J/kg'>
export const joulesPerKilogram = (value: number): JoulesPerKilogram => value as JoulesPerKilogram
export type CubicMetresPerKilogram = Branded<'m3/kg'>
export const cubicMetresPerKilogram = (value: number): CubicMetresPerKilogram =>
  value as CubicMetresPerKilogram
export type KilogramsPerCubicMetre = Branded<'kg/m3'>
export const kilogramsPerCubicMetre = (value: number): KilogramsPerCubicMetre =>
  value as KilogramsPerCubicMetre
export type KilopascalsPerKelvin = Branded<'kPa/K'>
export const kilopascalsPerKelvin = (value: number): KilopascalsPerKelvin => value as KilopascalsPerKelvin
export type JoulesPerKelvin = Branded<'J/K'>
export const joulesPerKelvin = (value: number): JoulesPerKelvin => value as JoulesPerKelvin
