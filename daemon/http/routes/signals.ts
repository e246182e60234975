import { signalPlanFor } from '../../farm/on-demand.js'
import type { Sample } from '../../ports/history.js'
import { signalName } from '../../readings/signal.js'
import {
  after,
  between,
  days,
  epochMs,
  hours,
  milliseconds,
  type EpochMs,
  type Milliseconds,
} from '../../units/time.js'
import { course, courseQuery, signalPath, type Course } from '../contract.js'
import { limitsOf } from '../now.js'
import type { App, RouteParts } from '../parts.js'
import { RefusalFault } from '../problem.js'

/** Longer spans belong to reviews, which run elsewhere. */
const spanMax = days(3 * 366)
/** For signals that come when they like: silence of an hour is drawn as a gap. Common practice. */
const gapWhenUnknown = hours(1)

/** The half-open span asked for, whole and in order. */
export function spanOf(
  asked: { readonly from?: number | undefined; readonly to?: number | undefined },
  now: EpochMs,
): { readonly from: EpochMs; readonly to: EpochMs } {
  const to = epochMs(asked.to ?? now)
  const from = epochMs(asked.from ?? after(to, milliseconds(-days(1))))
  if (from < to && between(from, to) <= spanMax) return { from, to }
  throw new RefusalFault(422, 'What was sent does not fit; see errors.', {
    errors: [{ parameter: 'from', detail: 'must lie before "to", and not more than three years before' }],
  })
}

/** The course of one signal. */
export function addSignals(app: App, { history, plan, clock, gate }: RouteParts): void {
  app.get(
    '/api/signals/:place/:quantity',
    {
      schema: {
        summary: 'The course of a signal, thinned to what a screen can show',
        tags: ['looking'],
        params: signalPath,
        querystring: courseQuery,
        response: { 200: course },
      },
      preHandler: async (request) => gate.look(request),
    },
    async (request): Promise<Course> => {
      const { place, quantity } = request.params
      const signal = signalName(place, quantity)
      const planned = signalPlanFor(plan(), signal)
      if ('unknown' in planned) throw new RefusalFault(404, planned.unknown)
      const { from, to } = spanOf(request.query, clock.now())
      const { raw, width } = request.query
      const samples = await (raw ? history.rawSamples : history.samples).call(
        history,
        signal,
        from,
        to,
        width,
      )
      return {
        signal,
        label: planned.quantity.label,
        unit: planned.quantity.unit,
        from,
        to,
        gapAfter: gapAfter(planned.staleTime, between(from, to) / request.query.width, samples),
        samples: [...samples],
        limits: limitsOf(plan()).filter((limit) => limit.signal === signal),
      }
    },
  )
}

/**
 * Thinning and roll-ups spread samples: a gap is a silence that neither the stale time, nor the width of a pixel (ms),
 * nor the usual distance of these samples explains.
 */
export function gapAfter(staleTime: Milliseconds | null, pixel: number, samples: readonly Sample[]): number {
  const distances = samples.slice(1).map(({ at }, index) => at - (samples[index]?.at ?? at))
  const usual = distances.sort((one, other) => one - other)[Math.floor(distances.length / 2)] ?? 0
  return Math.max(staleTime ?? gapWhenUnknown, 3 * pixel, 3 * usual)
}
