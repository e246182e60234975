import { z } from 'zod'
import { signalPlanFor } from '../../farm/on-demand.js'
import type { FarmPlan } from '../../farm/plan.js'
import type { KnownPoint } from '../../readings/correction.js'
import type { Past } from '../../ports/past.js'
import { measureIn, parseMeasure } from '../../units/convert.js'
import { epochMs } from '../../units/time.js'
import { whyBody } from '../contract.js'
import {
  correction,
  correctionBody,
  correctionMade,
  correctionPath,
  recomputation,
  recomputeBody,
  type Correction,
  type CorrectionMade,
} from '../past-contract.js'
import type { App, RouteParts } from '../parts.js'
import { kindly } from '../problem.js'

/** What can still be changed about the past: how a probe's readings are to be read, and what is computed from them. */
export function addPast(app: App, { past, plan, clock, gate }: RouteParts): void {
  const look = async (request: Parameters<typeof gate.look>[0]) => gate.look(request)
  const act = async (request: Parameters<typeof gate.act>[0]) => gate.act(request)
  app.get(
    '/api/corrections',
    {
      schema: {
        ...{ summary: 'Every correction ever made, oldest first', tags: ['looking'] },
        response: { 200: z.array(correction) },
      },
      preHandler: look,
    },
    async () => past.corrections().map((one) => shown(one, plan())),
  )
  app.post(
    '/api/corrections',
    {
      schema: {
        ...{ summary: 'Say that a probe was off over a span', tags: ['acting'], body: correctionBody },
        response: { 200: correctionMade },
      },
      preHandler: act,
    },
    async (request) => {
      const { signal, from, to, points, by, why } = request.body
      return kindly(() => {
        const made = past.correct({
          ...{ signal, from: epochMs(from), to: to === undefined ? null : epochMs(to), why },
          ...{ points: pointsOf(points, signal, plan()), by: gate.actor(request, by) },
        })
        return { ...madeOf(made, plan()), text: `Correction ${made.correction.id} is in force.` }
      })
    },
  )
  app.post(
    '/api/corrections/:id/undo',
    {
      schema: {
        ...{ summary: 'Take a correction back', tags: ['acting'], params: correctionPath, body: whyBody },
        response: { 200: correctionMade },
      },
      preHandler: act,
    },
    async (request) =>
      kindly(() => {
        const { by, why } = request.body
        const made = past.undo(request.params.id, { by: gate.actor(request, by), why })
        return { ...madeOf(made, plan()), text: `Correction ${made.correction.id} is taken back.` }
      }),
  )
  app.get(
    '/api/recomputations',
    {
      schema: {
        ...{ summary: 'Spans of the past that are computed anew, or lately were', tags: ['looking'] },
        response: { 200: z.array(recomputation) },
      },
      preHandler: look,
    },
    async () => [...past.recomputations()],
  )
  app.post(
    '/api/recomputations',
    {
      schema: {
        ...{ summary: 'Compute a span of the past anew', tags: ['acting'], body: recomputeBody },
        response: { 200: recomputation },
      },
      preHandler: act,
    },
    async (request) => {
      const { signals, from, to, by } = request.body
      const until = to === undefined ? clock.now() : epochMs(to)
      return kindly(() =>
        past.recompute({ signals, from: epochMs(from), to: until, by: gate.actor(request, by) }),
      )
    },
  )
}

/** Unknown signals are refused with the rest of the wish, so their points are taken as they stand. */
function pointsOf(
  points: readonly { readonly reads: string; readonly truth: string }[],
  signal: string,
  plan: FarmPlan,
): readonly KnownPoint[] {
  const listening = signalPlanFor(plan, signal)
  const unit = 'unknown' in listening ? null : listening.quantity.unit
  const inUnit = (written: string): number => {
    const measure = parseMeasure(written)
    return unit === null || unit === '' ? measure.value : measureIn(measure, unit)
  }
  return points.map(({ reads, truth }) => ({ reads: inUnit(reads), truth: inUnit(truth) }))
}

const madeOf = (made: ReturnType<Past['correct']>, plan: FarmPlan): Omit<CorrectionMade, 'text'> => ({
  correction: shown(made.correction, plan),
  recomputation: made.recomputation,
})

function shown(one: ReturnType<Past['correct']>['correction'], plan: FarmPlan): Correction {
  const listening = signalPlanFor(plan, one.signal)
  return { ...one, points: [...one.points], unit: 'unknown' in listening ? '' : listening.quantity.unit }
}
