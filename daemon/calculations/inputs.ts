import type { Range } from '../units/range.js'
import { zeroOrMore } from '../units/range.js'
import * as unit from '../units/brands.js'
import { epochMs, parseRfc3339, type EpochMs } from '../units/time.js'
import type { Input, Shaped } from './calculation.js'

// Inputs that several calculations take, each with its unit and what may be given for it.

interface Extra {
  readonly difference?: boolean
  readonly countedAs?: string
}

/** A number with a unit; `brand` is the type that the formula gets. */
export const measure = <Value extends number>(
  brand: (value: number) => Value,
  unitWritten: string,
  range: Range,
  { difference = false, countedAs }: Extra = {},
): Input<Value> => ({
  shape: { kind: 'measure', unit: unitWritten, range, difference, countedAs: countedAs ?? null },
  absent: undefined,
  take: (shaped) => brand(Number(shaped)),
})

/** A number without a unit: a coefficient, a count, a ratio. */
export const plain = (range: Range = [-Number.MAX_VALUE, Number.MAX_VALUE]): Input<number> =>
  measure((value) => value, '1', range)

/** A number whose unit is used by this calculation alone. */
export const bare = (unitWritten: string, range: Range = zeroOrMore, extra: Extra = {}): Input<number> =>
  measure((value) => value, unitWritten, range, extra)

/** Several numbers of one unit. */
export const measures = <Value extends number>(
  brand: (value: number) => Value,
  unitWritten: string,
  range: Range,
): Input<readonly Value[]> => ({
  shape: { kind: 'measures', unit: unitWritten, range },
  absent: undefined,
  take: (shaped) => (Array.isArray(shaped) ? shaped.map((value: number) => brand(value)) : []),
})

export const word = <Word extends string>(...words: readonly Word[]): Input<Word> => ({
  shape: { kind: 'word', words },
  absent: undefined,
  take: (shaped) => String(shaped) as Word,
})

export const flag: Input<boolean> = {
  shape: { kind: 'flag' },
  absent: undefined,
  take: (shaped: Shaped) => shaped === true,
}

/** A day of the calendar; the formula gets its noon, UTC. */
export const date: Input<EpochMs> = {
  shape: { kind: 'date' },
  absent: undefined,
  take: (shaped) => parseRfc3339(`${String(shaped)}T12:00:00Z`) ?? epochMs(Number.NaN),
}

/** May be left out; the formula then gets null. */
export const optional = <Value>(input: Input<Value>): Input<Value | null> => ({ ...input, absent: null })

/** May be left out; this then stands for it. */
export const unless = <Value>(input: Input<Value>, absent: Value): Input<Value> => ({ ...input, absent })

const any: Range = [-Number.MAX_VALUE, Number.MAX_VALUE]

export const waterTemperature = measure(unit.celsius, 'degC', [0, 40])
export const airTemperature = measure(unit.celsius, 'degC', [-60, 60])
export const altitude = measure(unit.metres, 'm', [-500, 11_000])
export const salinity = unless(measure(unit.gramsPerKilogram, 'g/kg', [0, 40]), unit.gramsPerKilogram(0))
export const pressureAtmospheres = measure(unit.atmospheres, 'atm', [0.5, 1.1])
export const pressurePascals = measure(unit.pascals, 'Pa', [30_000, 120_000])
export const pressureKilopascals = measure(unit.kilopascals, 'kPa', [30, 120])
export const acidity = (range: Range) => measure(unit.ph, '1', range)
export const oxygen = measure(unit.milligramsPerLitre, 'mg/L', [0, 60])
export const concentration = measure(unit.milligramsPerLitre, 'mg/L', zeroOrMore)
export const asNitrogen = measure(unit.milligramsPerLitreAsN, 'mg/L', zeroOrMore, { countedAs: 'N' })
export const humidity = measure(unit.percent, '%', [0, 100])
export const share = measure(unit.fraction, '1', [0, 1])
export const volume = measure(unit.cubicMetres, 'm3', zeroOrMore)
export const area = measure(unit.squareMetres, 'm2', zeroOrMore)
export const mass = measure(unit.grams, 'g', [Number.MIN_VALUE, 100_000])
export const perHour = measure(unit.perHour, '1/h', zeroOrMore)
export const temperatureAnywhere = measure(unit.celsius, 'degC', any)
export const kelvinDifference = measure(unit.kelvinDifference, 'K', any, { difference: true })
