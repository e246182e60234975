import { readFileSync } from 'node:fs'
import { houseFiguresOf } from '../../daemon/derive/house-figures.js'
import { planFarm } from '../../daemon/farm/plan-farm.js'
import type { FarmPlan, Place } from '../../daemon/farm/plan.js'
import type { HouseFigures } from '../../daemon/heat/cold-figures.js'
import { followCooling, noCooling, paceOf } from '../../daemon/heat/cooling-pace.js'
import { foreseeCold } from '../../daemon/heat/foresee-cold.js'
import type { ColdLimit } from '../../daemon/heat/hours-until-cold.js'
import { hoursUntilSunrise } from '../../daemon/heat/sun.js'
import { createGreenhouse, type Greenhouse } from '../../daemon/practice/greenhouse.js'
import { larkfieldProbes, larkfieldTopics } from '../../daemon/practice/larkfield-probes.js'
import { larkfieldSite } from '../../daemon/practice/larkfield.js'
import type { Mishap } from '../../daemon/practice/mishaps.js'
import { evenNoise } from '../../daemon/practice/noise.js'
import { loadSettings } from '../../daemon/settings/load.js'
import { celsius, percent } from '../../daemon/units/brands.js'
import { after, days, epochMs, hours, minutes, type EpochMs } from '../../daemon/units/time.js'

// Nights of the practice greenhouse in which the heat stops, and what Bellwater foresees from what the probes say and
// the configuration knows, beside what then becomes of it.

/** What was foreseen at one moment of one night, and the truth. Hours. */
export interface ColdCase {
  readonly night: number
  readonly of: 'tank' | 'house'
  /** `to 10 degC, 3 h before`, or `as the heat stops`. */
  readonly asked: string
  readonly truth: number
  /** Null: said to be never reached. */
  readonly foreseen: number | null
  readonly low: number | null
  readonly high: number | null
}

/** The plan of config/bellwater.yaml: what a keeper of Larkfield would write. */
export function larkfieldPlan(): FarmPlan {
  const file = new URL('../../config/bellwater.yaml', import.meta.url)
  const readFile = () => '0123456789abcdef'
  const loaded = loadSettings({ text: readFileSync(file, 'utf8'), file: 'bellwater.yaml', env: {}, readFile })
  if (loaded.kind === 'refused') throw new Error('the example configuration is refused')
  const planned = planFarm(loaded.settings)
  if (planned.kind === 'refused') throw new Error('the plan of the example configuration is refused')
  return planned.plan
}

interface Moment {
  readonly at: EpochMs
  readonly truth: { readonly tank: number; readonly house: number }
  /** What the probes said last. */
  readonly heard: ReadonlyMap<string, number>
  /** What the house taught by its falls until then; tanks are told without. */
  readonly pace: number | null
}

const signals = [
  'tank-1/water_temperature',
  'house/air_temperature',
  'house/relative_humidity',
  'outdoors/air_temperature',
]
const probes = larkfieldProbes(larkfieldTopics).filter(({ signal }) => signals.includes(signal))

/** From autumn to spring, evening to midnight; heat fails in one way or the other, four of five nights are cold ones. */
function nightOf(night: number): { start: EpochMs; failsAt: EpochMs; mishaps: readonly Mishap[] } {
  const draw = (index: number): number => evenNoise({ seed: night, stream: 7700 }, index)
  const midnight = after(epochMs(Date.UTC(2026, 9, 15)), days(Math.floor(draw(0) * 180)))
  const start = after(midnight, hours(14 + 6 * draw(1)))
  const failsAt = after(start, hours(3))
  const kind = draw(2) < 0.7 ? 'heater-failure' : 'mains-outage'
  const fails: Mishap = { kind, at: failsAt, for: hours(14) }
  // It comes within two hours of its beginning: before the heat fails.
  const cold: Mishap = { kind: 'cold-night', at: after(start, hours(-3)), for: hours(22), size: 8 * draw(4) }
  return { start, failsAt, mishaps: draw(3) < 0.8 ? [fails, cold] : [fails] }
}

const stepMinutes = 2

function live(night: number, plan: FarmPlan): readonly Moment[] {
  const { start, failsAt, mishaps } = nightOf(night)
  const greenhouse = createGreenhouse({ seed: night, start, mishaps, options: { stepSeconds: 10, probes } })
  const heard = new Map<string, number>()
  const moments: Moment[] = []
  let learnt = noCooling
  for (let at = start; at <= after(failsAt, hours(13)); at = after(at, minutes(stepMinutes))) {
    hear(greenhouse, at, heard)
    const known = knownOf(heard, plan, 'house')
    if (known !== null) learnt = followCooling(learnt, { at, ...known }, known.figures)
    if (at < failsAt) continue
    const { water, state } = greenhouse.truth()
    const truth = { tank: water['tank-1'].temperature, house: state.house.temperature }
    moments.push({ at, truth, heard: new Map(heard), pace: paceOf(learnt) })
  }
  return moments
}

function hear(greenhouse: Greenhouse, at: EpochMs, heard: Map<string, number>): void {
  for (const { topic, payload } of greenhouse.advanceTo(at)) {
    const said: unknown = JSON.parse(payload)
    const value = typeof said === 'object' && said !== null && 'v' in said ? said.v : null
    if (typeof value === 'number') heard.set(topic.replace('larkfield/', ''), value)
  }
}

/** When the truth first reaches the limit, hours after the first moment; null if it does not. */
function reachedAt(moments: readonly Moment[], of: 'tank' | 'house', limit: number): number | null {
  const index = moments.findIndex(({ truth }) => truth[of] <= limit)
  const [before, there] = [moments[index - 1], moments[index]]
  if (before === undefined || there === undefined) return null
  const share = (before.truth[of] - limit) / (before.truth[of] - there.truth[of])
  return ((index - 1 + share) * stepMinutes) / 60
}

/** Tanks cool for days: the test counts down to 2 K below where they stood. House: basil (10) and hardier crops (5). */
const tankFall = 2
const houseLimits = [10, 5] as const
const leftWhenAsked = { tank: [6, 3, 1], house: [3, 1] } as const

/** Everything that is asked of one night. */
export function casesOf(night: number, plan: FarmPlan): readonly ColdCase[] {
  const moments = live(night, plan)
  const [first] = moments
  if (first === undefined) return []
  const questions = [
    { of: 'tank' as const, limit: first.truth.tank - tankFall, by: `by ${tankFall} K` },
    ...houseLimits.map((limit) => ({ of: 'house' as const, limit, by: `to ${limit} degC` })),
  ]
  return questions.flatMap(({ of, limit, by }) => {
    const total = reachedAt(moments, of, limit)
    if (total === null) return []
    const times = [{ asked: `${by}, as the heat stops`, left: total }].concat(
      leftWhenAsked[of].flatMap((left) => (left < total ? [{ asked: `${by}, ${left} h before`, left }] : [])),
    )
    return times.flatMap(({ asked, left }) => {
      const moment = moments[Math.round(((total - left) * 60) / stepMinutes)]
      if (moment === undefined) return []
      const truth = total - moments.indexOf(moment) * (stepMinutes / 60)
      const told = foresee(plan, of, limit, moment)
      return told === null ? [] : [{ night, of, asked, truth, ...told }]
    })
  })
}

const placeOf = (plan: FarmPlan, id: string): Place => {
  const place = plan.places.get(id)
  if (place === undefined) throw new Error(`${id} is not in the plan`)
  return place
}

/** What is known by the probes, and the house by the configuration; null until all have spoken. */
function knownOf(heard: ReadonlyMap<string, number>, plan: FarmPlan, id: string) {
  const built = houseFiguresOf(plan, placeOf(plan, id))
  const [water, air] = [heard.get('tank-1/water_temperature'), heard.get('house/air_temperature')]
  const [humidity, outside] = [heard.get('house/relative_humidity'), heard.get('outdoors/air_temperature')]
  if (built === null || water === undefined || air === undefined) return null
  if (humidity === undefined || outside === undefined) return null
  const figures: HouseFigures = { ...built, humidity: percent(Math.min(100, humidity)), airPace: null }
  return { figures, water: celsius(water), air: celsius(air), outside: celsius(outside) }
}

function foresee(plan: FarmPlan, of: 'tank' | 'house', limit: number, { at, heard, pace }: Moment) {
  const known = knownOf(heard, plan, of === 'tank' ? 'tank-1' : 'house')
  if (known === null) return null
  const coldLimit: ColdLimit = { of: of === 'tank' ? 'water' : 'air', limit: celsius(limit) }
  const told = foreseeCold({ ...known.figures, airPace: of === 'tank' ? null : pace }, known, coldLimit, {
    now: known.outside,
    forecast: null,
    hoursUntilSunrise: hoursUntilSunrise(at, larkfieldSite),
  })
  if (told === null) return null
  const { usual } = told
  const foreseen = usual.kind === 'never' ? null : usual.kind === 'now' ? 0 : usual.hours
  return { foreseen, low: told.low, high: told.high }
}

/** How far off the answers were. */
export interface ColdAccuracy {
  readonly of: 'tank' | 'house'
  readonly asked: string
  readonly cases: number
  readonly nights: number
  /** Hours, and shares of the truth. "Never" counts as an error without end. */
  readonly median: number
  readonly ninetieth: number
  readonly medianShare: number
  readonly ninetiethShare: number
  /** Median with its sign: above zero it came sooner than foreseen. */
  readonly bias: number
  /** Share of cases whose truth lay in the interval. */
  readonly covered: number
  /** Of those outside, how many came sooner than its low end. */
  readonly soonerThanLow: number
  /** Median width of the interval as a share of the truth. */
  readonly width: number
}

const quantile = (values: readonly number[], share: number): number =>
  values.toSorted((a, b) => a - b)[Math.min(values.length - 1, Math.floor(share * values.length))] ??
  Number.NaN

/** One row for each question. */
export function accuracyOf(cases: readonly ColdCase[]): readonly ColdAccuracy[] {
  const nameOf = ({ of, asked }: ColdCase): string => `${of}, ${asked}`
  return [...new Set(cases.map(nameOf))].flatMap((name) => {
    const group = cases.filter((one) => nameOf(one) === name)
    const [first] = group
    if (first === undefined) return []
    const offBy = group.map(({ truth, foreseen }) => (foreseen ?? Number.POSITIVE_INFINITY) - truth)
    const off = offBy.map(Math.abs)
    const shares = off.map((value, index) => value / (group[index]?.truth ?? 1))
    const sooner = group.filter(({ truth, low }) => low === null || truth < low)
    const later = group.filter(({ truth, high }) => high !== null && truth > high)
    return [
      {
        ...{ of: first.of, asked: first.asked, cases: group.length },
        nights: new Set(group.map(({ night }) => night)).size,
        ...{ median: quantile(off, 0.5), ninetieth: quantile(off, 0.9), bias: quantile(offBy, 0.5) },
        ...{ medianShare: quantile(shares, 0.5), ninetiethShare: quantile(shares, 0.9) },
        covered: 1 - (sooner.length + later.length) / group.length,
        soonerThanLow: sooner.length / group.length,
        width: quantile(
          group.map(({ truth, low, high }) => ((high ?? 120) - (low ?? 120)) / truth),
          0.5,
        ),
      },
    ]
  })
}
