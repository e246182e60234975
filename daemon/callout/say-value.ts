import { quantityNamed } from '../units/quantities.js'

export type UnitSystem = 'metric' | 'us'

/** How a canonical unit is shown to people. */
interface Shown {
  readonly unit: string
  readonly factor: number
  /** Added after the factor; zero for everything but temperatures. */
  readonly offset: number
  /** Decimals more or fewer than the quantity's own. */
  readonly decimals: number
}

const same = (unit: string): Shown => ({ unit, factor: 1, offset: 0, decimals: 0 })

/** Names that people read and the GSM alphabet has. What is missing is shown as its code, without brackets. */
const metric: Readonly<Record<string, Shown>> = {
  Cel: same('C'),
  '[pH]': same(''),
  '1': same(''),
  'umol/(m2.s)': same('umol/m2/s'),
}

/**
 * Exact by definition: inch, US gallon, degree Fahrenheit; pound-force per square inch and conventional inch of mercury.
 * @source NIST Special Publication 811 (2008), Appendix B.8
 */
const us: Readonly<Record<string, Shown>> = {
  Cel: { unit: 'F', factor: 1.8, offset: 32, decimals: 0 },
  K: { unit: 'F', factor: 1.8, offset: 0, decimals: 0 },
  cm: { unit: 'in', factor: 1 / 2.54, offset: 0, decimals: 1 },
  L: { unit: 'gal', factor: 1 / 3.785411784, offset: 0, decimals: 0 },
  'L/min': { unit: 'gal/min', factor: 1 / 3.785411784, offset: 0, decimals: 1 },
  kPa: { unit: 'psi', factor: 1 / 6.894757, offset: 0, decimals: 1 },
}
const inchesOfMercury: Shown = { unit: 'inHg', factor: 1 / 3.386389, offset: 0, decimals: 1 }

// More than the quantity's own: enough to tell a value from its limit, or to write a limit as it was set.
const decimalsMax = 4
const decimalsUnknown = 1
// Beyond it a probe is broken, and a row of digits tells nothing.
const plainBelow = 1e7

/** A value as people read it. */
export interface Said {
  readonly number: string
  /** '' where there is none. */
  readonly unit: string
}

/** What is needed to say a number: its quantity, canonical unit, the units of the farm and the language's decimal mark. */
export interface Scale {
  readonly quantity: string
  readonly unit: string
  readonly system: UnitSystem
  readonly decimalMark: '.' | ','
}

/**
 * A value, given in the canonical unit, in the farm's units and with the decimals a person cares for.
 * A rate (`Cel/min`) is converted as a difference. Not finite: `?`.
 */
export function sayNumber(value: number, scale: Scale): Said {
  const shown = shownAs(scale)
  return said(value, { scale, shown, decimals: decimalsOf(scale, shown) })
}

/**
 * A value beside the limit that it passed. The limit is written as precisely as it was set, and where rounding would make
 * the two look equal they get more decimals, so that a text never says "4.5 (limit 4.5)" of a value below it.
 */
export function sayAgainst(
  value: number,
  limit: number,
  scale: Scale,
): { readonly value: Said; readonly limit: Said } {
  const shown = shownAs(scale)
  let decimals = decimalsOf(scale, shown)
  const both = (places: number) => ({
    value: said(value, { scale, shown, decimals: places }),
    limit: said(limit, { scale, shown, decimals: Math.max(places, placesOf(limit, shown)) }),
  })
  let pair = both(decimals)
  while (
    value !== limit &&
    decimals < decimalsMax &&
    Number(pair.value.number) === Number(pair.limit.number)
  ) {
    decimals += 1
    pair = both(decimals)
  }
  return pair
}

/** `3.8 mg/L`, `96%`, `6.4` */
export const withUnit = ({ number, unit }: Said): string =>
  unit === '' ? number : unit === '%' ? `${number}%` : `${number} ${unit}`

function shownAs({ quantity, unit, system }: Scale): Shown {
  if (system === 'us') {
    // Vapour pressure deficit is in kilopascals in American greenhouses too (common practice).
    if (quantity === 'vapour_pressure_deficit') return same('kPa')
    if (quantity === 'barometric_pressure' && unit === 'kPa') return inchesOfMercury
  }
  const table = system === 'us' ? { ...metric, ...us } : metric
  const known = table[unit]
  if (known !== undefined) return known
  const base = /^(.*)\/min$/.exec(unit)?.[1]
  const rate = base === undefined ? undefined : table[base]
  // Rates are small numbers: two decimals more than the quantity itself.
  if (rate !== undefined) return { ...rate, unit: `${rate.unit}/min`, offset: 0, decimals: rate.decimals + 2 }
  return {
    ...same(unit.replaceAll(/[{}[\]()]/g, '')),
    decimals: base !== undefined && unit !== 'L/min' ? 2 : 0,
  }
}

const decimalsOf = ({ quantity }: Scale, shown: Shown): number =>
  Math.min((quantityNamed(quantity)?.decimals ?? decimalsUnknown) + shown.decimals, decimalsMax)

/** Decimals a limit was written with; a converted one was not written at all. */
function placesOf(limit: number, shown: Shown): number {
  if (shown.factor !== 1) return 0
  for (let places = 0; places < decimalsMax; places++) {
    if (Math.abs(Number(limit.toFixed(places)) - limit) < 1e-9 * Math.max(1, Math.abs(limit))) return places
  }
  return decimalsMax
}

function said(value: number, how: { scale: Scale; shown: Shown; decimals: number }): Said {
  const { scale, shown, decimals } = how
  const converted = value * shown.factor + shown.offset
  if (!Number.isFinite(converted)) return { number: '?', unit: shown.unit }
  const text =
    Math.abs(converted) < plainBelow ? converted.toFixed(decimals) : String(Number(converted.toPrecision(4)))
  const number = Number(text) === 0 ? text.replace('-', '') : text
  return { number: scale.decimalMark === ',' ? number.replace('.', ',') : number, unit: shown.unit }
}
