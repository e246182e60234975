import { Fault } from '../../errors.js'
import { signalPlanFor } from '../../farm/on-demand.js'
import { signalName } from '../../readings/signal.js'
import { converter } from '../../units/convert.js'
import { after, epochMs, minutes } from '../../units/time.js'
import { answer, logBody } from '../contract.js'
import type { App, RouteParts } from '../parts.js'
import { RefusalFault } from '../problem.js'

/** A phone's clock may be a little ahead. */
const aheadMax = minutes(2)

/** What a person measured: comes in like a reading. */
export function addBook(app: App, { door, plan, clock, gate }: RouteParts): void {
  app.post(
    '/api/log',
    {
      schema: {
        summary: 'Enter a test-kit result',
        tags: ['acting'],
        body: logBody,
        response: { 200: answer },
      },
      preHandler: async (request) => gate.act(request),
    },
    async (request) => {
      const { place, quantity: name, value, unit, at, by } = request.body
      const signal = signalName(place, name)
      const planned = signalPlanFor(plan(), signal)
      if ('unknown' in planned)
        throw unfit(plan().quantities.has(name) ? 'place' : 'quantity', planned.unknown)
      const { quantity } = planned
      if (quantity.kind === 'words')
        throw unfit('quantity', `${name} is told in words, not entered as a number`)
      if (at !== undefined && at > after(clock.now(), aheadMax)) throw unfit('at', 'lies in the future')
      const { accepted, ...rest } = await door.enter({
        signal,
        value: canonical(value, unit, quantity.unit),
        measuredAt: at === undefined ? null : epochMs(at),
        claimed: 'good',
        retained: false,
        source: 'book',
        by: gate.actor(request, by),
      })
      if (accepted) return { ...rest, accepted }
      throw new RefusalFault(409, rest.text)
    },
  )
}

const unfit = (part: string, detail: string) =>
  new RefusalFault(422, 'What was sent does not fit; see errors.', {
    errors: [{ pointer: `#/${part}`, detail }],
  })

function canonical(value: number, written: string, unit: string): number {
  try {
    return converter(written, unit)(value)
  } catch (error) {
    if (error instanceof Fault && error.code === 'BW_UNIT')
      throw unfit('unit', `${error.message}. ${error.hint}`.trim())
    throw error
  }
}
