import type { Equation } from './calculation.js'
import { sources } from './sources.js'

const { ashrae2017, fao56, us76, firstPrinciples, engineering } = sources
const equation = (id: string, formula: string, valid: string, source: string): Equation => ({
  id,
  formula,
  valid,
  source,
})
/** One of the handbook's, all with the same range. */
const handbook = (id: string, formula: string): Equation =>
  equation(id, formula, '-100 to 200 degC, 30-120 kPa, 0-100 %', ashrae2017)
const field = (id: string, formula: string, number: string): Equation =>
  equation(id, formula, '-20 to 60 degC', `${fao56}, eq. ${number}`)

/** t in degC, T in K, p_ws saturation vapour pressure, W humidity ratio, e0 that of AIR-16. */
export const airEquations = {
  'AIR-1': handbook('AIR-1', 'Hyland-Wexler p_ws(t), over ice below 0.01 degC'),
  'AIR-2': handbook('AIR-2', 'W = 0.621945 p_ws/(P - p_ws)'),
  'AIR-3': handbook('AIR-3', 'h = 1.006 t + W (2501 + 1.86 t), saturated'),
  'AIR-4': handbook('AIR-4', 'v = 287.042 T (1 + 1.607858 W)/P, saturated'),
  'AIR-5': handbook('AIR-5', 'v = 287.042 T/P'),
  'AIR-6': handbook('AIR-6', 'W from dry and wet bulb, eq. 33 and 35'),
  'AIR-7': handbook('AIR-7', 'p_ws(dew point) = p, p from AIR-6'),
  'AIR-8': handbook('AIR-8', 'p/p_ws, p from AIR-6'),
  'AIR-9': handbook('AIR-9', 'h = 1.006 t + W (2501 + 1.86 t), W from AIR-6'),
  'AIR-10': handbook('AIR-10', 'v = 287.042 T (1 + 1.607858 W)/P, W from AIR-6'),
  'AIR-11': handbook('AIR-11', 'W = 0.621945 p/(P - p), p = RH p_ws'),
  'AIR-12': handbook('AIR-12', 'p_ws(dew point) = RH p_ws(t)'),
  'AIR-13': handbook('AIR-13', 'VPD = p_ws (1 - RH)'),
  'AIR-14': handbook('AIR-14', 'wet bulb that gives W, eq. 33 and 35 solved'),
  'AIR-15': handbook('AIR-15', '(1 + W)/v'),
  'AIR-16': field('AIR-16', 'e0 = 0.6108 exp(17.27 t/(t + 237.3))', '11'),
  'AIR-17': field('AIR-17', '(e0(min) + e0(max))/2', '12'),
  'AIR-18': field('AIR-18', 'e0(wet) - a P (dry - wet)', '15'),
  'AIR-19': field('AIR-19', '(e0(min) RHmax + e0(max) RHmin)/2', '17'),
  'AIR-20': field('AIR-20', '4098 e0/(t + 237.3)^2', '13'),
  'AIR-21': field('AIR-21', '0.000665 P', '8'),
  'AIR-22': field('AIR-22', 'e0 (1 - RH)', '11'),
  'HT-1': equation('HT-1', '1 Btu/(h.ft2.degF) = 5.678263 W/(m2.K)', 'always', 'definition of the units'),
  'HT-2': equation('HT-2', 'Q = U A dT', 'steady state, no sun', sources.georgia),
  'HT-3': equation('HT-3', 'Q = U A (ti - to)', 'steady state, no sun, -60 to 60 degC', sources.georgia),
  'HT-4': equation('HT-4', 'Q = 0.3353 V N (ti - to)', 'sensible heat only, -60 to 60 degC', firstPrinciples),
  'HT-5': equation('HT-5', 'Q = 0.018 V N dT', 'sensible heat only', firstPrinciples),
  'HT-7': equation('HT-7', '1 cfm/ft2 = 0.3048 m3/(min.m2)', 'always', 'definition of the units'),
  'HT-8': equation('HT-8', 'Q = 4.186 m dT/3600', 'water, 0-40 degC', firstPrinciples),
  'HT-9': equation('HT-9', 'tau = m c/(U A)', 'well mixed', "Newton's law of cooling"),
  'HT-10': equation(
    'HT-10',
    't = tau ln[(T0 - Ta)/(Tc - Ta)]',
    'well mixed, constant surroundings',
    "Newton's law of cooling",
  ),
  'HT-11': equation('HT-11', 'g = (25 + 19 v) A (xs - x)/3600', 'still to 2 m/s', engineering),
  'HT-12': equation('HT-12', 'g = (25 + 19 v) A (xs - x)', 'still to 2 m/s', engineering),
  'HT-13': equation(
    'HT-13',
    'g = (A + B V)(pw - pa)/Hv',
    'ponds; A = 95, B = 37.4 (a later US study: 68, 32)',
    'ASHRAE pond evaporation model',
  ),
  'HT-16': equation('HT-16', 'mm = MJ/m2 / 2.45', 'water at about 20 degC', fao56),
  'HT-17': equation(
    'HT-17',
    'b1 T0 + c1 + b2 Td + c2: minimum regressed on temperature, then the residual on dew point',
    'calm, clear nights of one site; at least 5',
    sources.snyder,
  ),
  'HT-18': equation(
    'HT-18',
    'Cw dTw/dt = K (Ta - Tw) + Qw; Ca dTa/dt = K (Tw - Ta) + U (To - Ta) + Qa',
    'well mixed, no sun; solved exactly for steady surroundings',
    firstPrinciples,
  ),
  'HT-19': equation(
    'HT-19',
    't = ti - (ti - to) min(1, U/7.7)',
    'steady state, no sun, no clear sky; -60 to 60 degC',
    'ISO 6946, internal surface resistance 0.13 m2.K/W (from memory)',
  ),
  'HT-20': equation('HT-20', 'face - dew point', 'always', 'definition of condensation'),
  'HT-21': equation(
    'HT-21',
    't = ta - (ta - tc) hr/(2 hr + 2 hc), hr = 4.9, hc = 5 W/(m2.K)',
    'dry leaf at night, still air, near 5 degC; -60 to 60 degC',
    'linear heat balance (first principles), film of still air (common practice)',
  ),
  'HT-22': equation('HT-22', 'leaf temperature (HT-21) - 0 degC', 'as HT-21', 'freezing point of water'),
  'HT-23': equation(
    'HT-23',
    'rated power - max(0, loss)',
    'steady state, no sun',
    'heat balance (first principles)',
  ),
  'HT-24': equation(
    'HT-24',
    'Q = (25 + 19 v) A (xs - x) 2.45e6/3600, v = 0.1 m/s',
    'still air, at sea level; -20 to 60 degC',
    `${engineering}; latent heat of FAO-56`,
  ),
  'HT-25': equation(
    'HT-25',
    'K = h (A + 2 sqrt(pi A) V/A), h = 4 W/(m2.K) open, 2 covered',
    'round basins indoors; within 1.6 times either way',
    'common practice, between lidded and bare plastic (ISO 6946 films, from memory)',
  ),
  'SUN-1': equation(
    'SUN-1',
    'upper edge of the sun on a flat horizon (-0.833 deg)',
    'where the sun rises and sets on that day',
    'suncalc 2.0 (Meeus, Astronomical Algorithms)',
  ),
  'ATM-1': equation(
    'ATM-1',
    'P = 101 325 (1 - 2.25577e-5 h)^5.2559',
    '-500 to 11 000 m',
    'ASHRAE Handbook - Fundamentals (2017) ch. 1 eq. 3 = ICAO',
  ),
  'ATM-2': equation(
    'ATM-2',
    'P = 101 325 (1 - 0.0065 H/288.15)^5.25588, H = 6 356 766 z/(6 356 766 + z)',
    '-500 to 11 000 m',
    us76,
  ),
  'ATM-3': equation('ATM-3', 'T = 288.15 - 0.0065 H', '-500 to 11 000 m', us76),
  'ATM-4': equation(
    'ATM-4',
    '15 - 0.0065 h',
    '-500 to 11 000 m',
    'ASHRAE Handbook - Fundamentals (2017) ch. 1 eq. 4',
  ),
  'ATM-5': equation('ATM-5', '101.3 ((293 - 0.0065 h)/293)^5.26', '-500 to 11 000 m', `${fao56}, eq. 7`),
  'ATM-6': equation(
    'ATM-6',
    'sea-level pressure x ratio of ATM-1',
    '-500 to 11 000 m',
    'common practice for oxygen probes',
  ),
  'ATM-7': equation(
    'ATM-7',
    '1 mmHg = 133.322387 Pa',
    'always',
    'definition of the conventional millimetre of mercury',
  ),
} as const satisfies Record<string, Equation>
