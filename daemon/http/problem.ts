import type { FastifyError, FastifyReply, FastifyRequest } from 'fastify'
import { hasZodFastifySchemaValidationErrors } from 'fastify-type-provider-zod'
import { STATUS_CODES } from 'node:http'
import { Fault } from '../errors.js'
import type { Log } from '../ports/log.js'
import type { Problem } from './contract.js'

/** A refusal that the asker is told as it stands (RFC 9457). `detail` is one sentence for a person. */
export class RefusalFault extends Fault {
  constructor(
    readonly status: number,
    detail: string,
    readonly more: { readonly errors?: Problem['errors']; readonly headers?: Record<string, string> } = {},
  ) {
    super('BW_HTTP', detail)
  }
}

/** What the asker got wrong in a value, a unit or a computation is told to the asker, as it is on the terminal. */
export function kindly<Result>(work: () => Result): Result {
  try {
    return work()
  } catch (cause) {
    if (!(cause instanceof Fault) || (cause.code !== 'BW_CALC' && cause.code !== 'BW_UNIT')) throw cause
    const detail = cause.hint === '' ? `${cause.message}.` : `${cause.message}: ${cause.hint}.`
    throw new RefusalFault(422, detail)
  }
}

export const problemOf = (
  status: number,
  detail: string | undefined,
  rest: Partial<Problem> = {},
): Problem => ({
  type: 'about:blank',
  title: STATUS_CODES[status] ?? 'Error',
  status,
  ...(detail === undefined ? {} : { detail }),
  ...rest,
})

export async function sendProblem(reply: FastifyReply, problem: Problem): Promise<FastifyReply> {
  return reply.code(problem.status).type('application/problem+json').send(JSON.stringify(problem))
}

/**
 * Turns whatever went wrong into problem details. What the asker did is explained; what we did wrong is logged with
 * its cause and told only as "our mistake", so that no inside of the daemon leaks.
 */
export const problemHandler =
  (log: Log) =>
  async (error: FastifyError, request: FastifyRequest, reply: FastifyReply): Promise<FastifyReply> => {
    if (hasZodFastifySchemaValidationErrors(error)) {
      const errors = error.validation.map((issue) => ({
        detail: issue.message ?? 'is not valid',
        ...placeOf(error.validationContext ?? 'body', issue.instancePath),
      }))
      return sendProblem(reply, problemOf(422, 'What was sent does not fit; see errors.', { errors }))
    }
    if (error instanceof RefusalFault) {
      reply.headers(error.more.headers ?? {})
      const { errors } = error.more
      return sendProblem(
        reply,
        problemOf(error.status, error.message, errors === undefined ? {} : { errors }),
      )
    }
    const status = error.statusCode ?? 500
    if (status < 500) return sendProblem(reply, problemOf(status, error.message))
    log.error({ err: error, route: request.routeOptions.url ?? '' }, 'a request could not be answered')
    const code = error instanceof Fault ? { code: error.code } : {}
    return sendProblem(reply, problemOf(500, 'This is our mistake, not yours; the log says more.', code))
  }

/** RFC 9457 section 3: a pointer into the body, or the name of a part of the address. */
function placeOf(context: string, path: string): { pointer: string } | { parameter: string } {
  return context === 'body' ? { pointer: `#${path}` } : { parameter: path.replace(/^\//, '') }
}
