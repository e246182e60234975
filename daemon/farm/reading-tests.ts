import type { ProbeSettings } from '../settings/schema.js'
import { differenceIn, perMinuteIn, type Measure } from '../units/convert.js'
import type { Quantity } from '../units/quantities.js'
import type { ReadingTests, SignalPlan } from './plan.js'
import { reported, type Path, type Report } from './report.js'
import { bandOf } from './resolve-equipment.js'

/** The keeper's own limits of the plausible, inside what is possible at all; null when nothing was said. */
export function plausibleFor(
  probe: ProbeSettings,
  quantity: Quantity,
  path: Path,
  report: Report,
): SignalPlan['plausible'] {
  if (probe.plausible === undefined || hasNoLimits(quantity, [...path, 'plausible'], report)) return null
  const band = bandOf(probe.plausible, quantity.unit, [...path, 'plausible'], report)
  if (band === null || quantity.possible === null) return band
  const low = Math.max(band[0], quantity.possible[0])
  const high = Math.min(band[1], quantity.possible[1])
  if (low < high) return [low, high]
  report(
    [...path, 'plausible'],
    `${quantity.name} can never lie there`,
    `it lies between ${quantity.possible.join(' and ')} ${quantity.unit}`,
  )
  return null
}

/** The further tests that the keeper asked for, in the canonical unit; null when there are none. */
export function testsFor(
  probe: ProbeSettings,
  quantity: Quantity,
  path: Path,
  report: Report,
): ReadingTests | null {
  const { tests } = probe
  const at = [...path, 'tests']
  if (tests === undefined || tests === 'off' || hasNoLimits(quantity, at, report)) return null
  const difference = (measure: Measure, ...where: readonly string[]): number | null =>
    reported(report, [...at, ...where], () => differenceIn(measure, quantity.unit))
  const { user_range: range, spike, rate, flat_line: flat } = tests
  return {
    userRange: range === undefined ? null : bandOf(range, quantity.unit, [...at, 'user_range'], report),
    spike:
      spike === undefined
        ? null
        : spikeOf(difference(spike.suspect, 'spike', 'suspect'), difference(spike.fail, 'spike', 'fail')),
    rate:
      rate === undefined ? null : reported(report, [...at, 'rate'], () => perMinuteIn(rate, quantity.unit)),
    flatLine: flat === undefined ? null : flatOf(flat, difference(flat.within, 'flat_line', 'within')),
  }
}

const spikeOf = (suspect: number | null, fail: number | null): ReadingTests['spike'] =>
  suspect === null || fail === null ? null : { suspect, fail }

const flatOf = (
  flat: { readonly suspect: number; readonly fail: number },
  within: number | null,
): ReadingTests['flatLine'] => (within === null ? null : { suspect: flat.suspect, fail: flat.fail, within })

function hasNoLimits(quantity: Quantity, path: Path, report: Report): boolean {
  if (quantity.kind !== 'words') return false
  report(path, `${quantity.name} is words, which have no limits`, 'leave it out')
  return true
}
