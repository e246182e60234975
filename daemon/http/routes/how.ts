import { equations } from '../../calculations/equations.js'
import { signalPlanFor } from '../../farm/on-demand.js'
import type { SignalPlan } from '../../farm/plan.js'
import type { Computed } from '../../readings/computed.js'
import { signalName } from '../../readings/signal.js'
import { howComputed, type HowComputed } from '../computing-contract.js'
import { signalPath } from '../contract.js'
import type { App, RouteParts } from '../parts.js'
import { RefusalFault } from '../problem.js'

/** How a computed value came about: what anyone may ask of a number. */
export function addHow(app: App, { door, plan, gate }: RouteParts): void {
  app.get(
    '/api/signals/:place/:quantity/how',
    {
      schema: {
        summary: 'How a computed value comes about: inputs, ages, equation, source',
        tags: ['looking'],
        params: signalPath,
        response: { 200: howComputed },
      },
      preHandler: async (request) => gate.look(request),
    },
    async (request): Promise<HowComputed> => {
      const signal = signalName(request.params.place, request.params.quantity)
      const planned = signalPlanFor(plan(), signal)
      if ('unknown' in planned) throw new RefusalFault(404, planned.unknown)
      const how = door.how(signal)
      if (how === null) throw new RefusalFault(404, notComputed(planned.origin, signal))
      return {
        ...how,
        reasons: [...how.reasons],
        inputs: [...how.inputs],
        label: planned.quantity.label,
        equation: equationOf(how.equation, how.source),
      }
    },
  )
}

const notComputed = (origin: SignalPlan['origin'], signal: string): string =>
  origin === 'computed'
    ? `${signal} cannot be computed with the present probes: an input is measured nowhere.`
    : `${signal} is not computed: it is measured, or entered by hand.`

/** The catalogue's own words for it; what follows from a source's statement alone has none. */
function equationOf(id: Computed['equation'], source: string): HowComputed['equation'] {
  const known = Object.hasOwn(equations, id) ? equations[id as keyof typeof equations] : null
  return known === null
    ? { id, formula: source, valid: '' }
    : { id, formula: known.formula, valid: known.valid }
}
