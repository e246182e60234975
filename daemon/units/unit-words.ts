/**
 * Everyday spellings of units, and the UCUM code each stands for. UCUM's own case-sensitive codes need no line here.
 * Gallons, ounces and pints are the United States' liquid measures, pounds and ounces of mass are avoirdupois,
 * a BTU is that of the International Table.
 *
 * @source Unified Code for Units of Measure (UCUM) 2.2, 2024. That `ppm` means mg/L in water is common practice: one
 * litre of fresh water has a mass of about one kilogram.
 */
const everyday: Readonly<Record<string, string>> = {
  // volume
  gal: '[gal_us]',
  gallon: '[gal_us]',
  gallons: '[gal_us]',
  qt: '[qt_us]',
  floz: '[foz_us]',
  litre: 'L',
  litres: 'L',
  liter: 'L',
  liters: 'L',
  // mass
  lb: '[lb_av]',
  lbs: '[lb_av]',
  oz: '[oz_av]',
  // length
  ft: '[ft_i]',
  foot: '[ft_i]',
  feet: '[ft_i]',
  in: '[in_i]',
  inch: '[in_i]',
  inches: '[in_i]',
  yd: '[yd_i]',
  mi: '[mi_i]',
  mph: '[mi_i]/h',
  acre: '[acr_us]',
  // temperature
  degC: 'Cel',
  '°C': 'Cel',
  degF: '[degF]',
  '°F': '[degF]',
  // pressure
  psi: '[psi]',
  inHg: "[in_i'Hg]",
  mmHg: 'mm[Hg]',
  // concentration and the like
  ppm: 'mg/L',
  pH: '[pH]',
  percent: '%',
  // time
  year: 'a',
  years: 'a',
  week: 'wk',
  weeks: 'wk',
  day: 'd',
  days: 'd',
  hour: 'h',
  hours: 'h',
  hr: 'h',
  minute: 'min',
  minutes: 'min',
  mins: 'min',
  second: 's',
  seconds: 's',
  sec: 's',
  // flow, energy
  gpm: '[gal_us]/min',
  gph: '[gal_us]/h',
  lpm: 'L/min',
  cfm: '[cft_i]/min',
  kWh: 'kW.h',
  Wh: 'W.h',
  Ah: 'A.h',
  BTU: '[Btu_IT]',
  Btu: '[Btu_IT]',
  hp: '[HP]',
  lux: 'lx',
}

/** Bracketed codes and annotations are left alone; everything else made of letters may be an everyday word. */
const words = /\{[^}]*\}|[A-Za-z]*\[[^\]]*\]|°[CF]|[A-Za-z]+/g

/** Signs that keyboards and data sheets offer beside the ones UCUM knows. */
const signs: readonly (readonly [RegExp, string])[] = [
  [/[µμ]/g, 'u'],
  [/²/g, '2'],
  [/³/g, '3'],
  [/[·⋅]/g, '.'],
  [/⁻/g, '-'],
  [/¹/g, '1'],
]

/**
 * The UCUM code that a written unit stands for: `gal` gives `[gal_us]`, `µS/cm` gives `uS/cm`. Nothing is looked up:
 * whether the result means anything is told by `convert.ts`.
 */
export function ucumCode(written: string): string {
  const trimmed = written.trim().replace(/\s*([/.])\s*/g, '$1')
  const plain = signs.reduce((text, [sign, code]) => text.replace(sign, code), trimmed)
  return plain.replace(words, (word) => (Object.hasOwn(everyday, word) ? (everyday[word] ?? word) : word))
}

/** Everyday words that are accepted, for help texts. */
export const everydayWords: readonly string[] = Object.keys(everyday)
