import { quantityNamed } from '../../daemon/units/quantities.js'

/** How a unit is shown: what it is multiplied by and shifted, how it is written, how many decimals are added. */
interface Shown {
  readonly sign: string
  readonly scale: number
  readonly shift: number
  readonly decimals: number
}

const plain = (sign: string): Shown => ({ sign, scale: 1, shift: 0, decimals: 0 })

const metric: Readonly<Record<string, Shown>> = {
  Cel: plain('°C'),
  '[pH]': plain(''),
  '1': plain(''),
  'uS/cm': plain('µS/cm'),
  'umol/(m2.s)': plain('µmol/m²s'),
  'W/m2': plain('W/m²'),
  'mg/(L.h)': plain('mg/L/h'),
}

/**
 * What a keeper in the United States reads instead; other units are the same there. A test compares each with the
 * daemon's own conversion, whose table of units is too large for a phone.
 * @source UCUM 2.2, 2024: [degF], [gal_us], [in_i], [psi]
 */
const us: Readonly<Record<string, Shown>> = {
  Cel: { sign: '°F', scale: 1.8, shift: 32, decimals: 0 },
  'L/min': { sign: 'gal/min', scale: 1 / 3.785411784, shift: 0, decimals: 1 },
  cm: { sign: 'in', scale: 1 / 2.54, shift: 0, decimals: 1 },
  kPa: { sign: 'psi', scale: 1 / 6.894757293168361, shift: 0, decimals: 1 },
}

/** Quantities that stay apart from their unit's table there, as in the texts that people get. */
const usOfQuantity: Readonly<Record<string, Shown>> = {
  barometric_pressure: { sign: 'inHg', scale: 1 / 3.38638866666667, shift: 0, decimals: 1 },
  vapour_pressure_deficit: plain('kPa'),
}

export type ShowUnits = 'metric' | 'us'

/** What is needed to show a number. */
export interface Scale {
  readonly quantity: string
  /** Canonical. */
  readonly unit: string
}

const shownAs = ({ quantity, unit }: Scale, units: ShowUnits): Shown =>
  (units === 'us' ? (usOfQuantity[quantity] ?? us[unit]) : undefined) ?? metric[unit] ?? plain(unit)

/** A value of the canonical unit as the number that is shown. */
export function shownNumber(value: number, scale: Scale, units: ShowUnits): number {
  const shown = shownAs(scale, units)
  return value * shown.scale + shown.shift
}

export interface ValueWords {
  readonly figure: string
  readonly sign: string
}

/** A value of a signal as it is written: figure and unit apart, because they are set in different sizes. */
export function shownValue(scale: Scale, value: number | string, units: ShowUnits, finer = 0): ValueWords {
  if (typeof value === 'string') return { figure: value, sign: '' }
  const quantity = quantityNamed(scale.quantity)
  if (quantity?.kind === 'two-valued') return { figure: value === 1 ? 'on' : 'off', sign: '' }
  const { sign, decimals } = shownAs(scale, units)
  const figure = shownNumber(value, scale, units).toFixed((quantity?.decimals ?? 2) + decimals + finer)
  // A true minus is as wide as a figure; a hyphen is not. And nothing is "minus zero".
  return { figure: /^-0(\.0*)?$/.test(figure) ? figure.slice(1) : figure.replace('-', '−'), sign }
}

/** A value beside a limit it is beyond: finer where rounding would show both alike, or "4.5, below 4.5" would be read. */
export function shownBeside(
  scale: Scale,
  value: number,
  limit: number,
  units: ShowUnits,
): readonly [ValueWords, ValueWords] {
  for (let finer = 0; ; finer += 1) {
    const pair = [shownValue(scale, value, units, finer), shownValue(scale, limit, units, finer)] as const
    if (pair[0].figure !== pair[1].figure || value === limit || finer === finerMax) return pair
  }
}
const finerMax = 3

/** In one piece: a figure must not lose its unit at the end of a line. */
export const unitText = ({ figure, sign }: ValueWords): string =>
  sign === '' ? figure : sign === '%' ? `${figure}%` : `${figure}\u00a0${sign}`

export const valueText = (...given: Parameters<typeof shownValue>): string => unitText(shownValue(...given))
