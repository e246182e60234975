import { z } from 'zod'
import { calculate } from '../../calculations/calculate.js'
import { catalogue } from '../../calculations/catalogue.js'
import { describeCalculation, resultAsJson } from '../../calculations/describe.js'
import { calculated, described, inputs, quantityPath } from '../computing-contract.js'
import type { App, RouteParts } from '../parts.js'
import { kindly } from '../problem.js'

/** `bellwater calc` for browsers and scripts. */
export function addCalc(app: App, { gate }: RouteParts): void {
  const look = async (request: Parameters<typeof gate.look>[0]) => gate.look(request)
  app.get(
    '/api/calc',
    {
      schema: {
        ...{ summary: 'Everything that can be computed, with inputs, units and ranges', tags: ['computing'] },
        response: { 200: z.array(described) },
      },
      preHandler: look,
    },
    async () =>
      [...catalogue.values()].map(describeCalculation).map((one) => ({ ...one, inputs: [...one.inputs] })),
  )
  app.get(
    '/api/calc/:quantity',
    {
      schema: {
        ...{
          summary: 'One computed value with its inputs, equation, source and valid range',
          tags: ['computing'],
        },
        ...{ params: quantityPath, querystring: inputs, response: { 200: calculated } },
      },
      preHandler: look,
    },
    async (request) => {
      const { quantity } = request.params
      const given = new Map(Object.entries(request.query))
      return kindly(() => {
        const { inputs: used, cautions, ...rest } = resultAsJson(calculate(quantity, given))
        const shown = used.map((one) => ({ ...one, value: plain(one.value) }))
        return { ...rest, cautions: [...cautions], inputs: shown }
      })
    },
  )
}

const plain = (value: number | readonly number[] | string | boolean) =>
  typeof value === 'object' ? [...value] : value
