import { milliseconds, seconds, minutes } from '../../units/time.js'
import { cookieFor } from '../access/cookie.js'
import { nobodysPassword, passwordFits } from '../access/password.js'
import { countTries } from '../access/tries.js'
import { loginBody, session } from '../contract.js'
import type { App, RouteParts } from '../parts.js'
import { RefusalFault } from '../problem.js'

/** By address: an attacker's. By person: lower, or an attacker could lock the keeper out of a bad night. */
const addressPolicy = { free: 3, first: seconds(1), ceiling: minutes(5) }
const personPolicy = { free: 3, first: seconds(1), ceiling: seconds(20) }

/** Coming in and going out. */
export function addSession(app: App, { access, sessions, gate, clock, options, log }: RouteParts): void {
  const byAddress = countTries(addressPolicy)
  const byPerson = countTries(personPolicy)
  const kind = { secure: options.publicUrl?.startsWith('https:') ?? false, lasts: options.sessionLasts }
  // One at a time: each takes 32 MiB, and a crowd of guesses must not starve the watch.
  let queue: Promise<unknown> = Promise.resolve()
  const fits = (password: string, kept: string): Promise<boolean> => {
    const turn = queue.then(() => passwordFits(password, kept))
    queue = turn.catch(() => false)
    return turn
  }

  app.get(
    '/api/session',
    {
      schema: {
        summary: 'Who is logged in and what they may do',
        tags: ['coming in'],
        response: { 200: session },
      },
    },
    async (request) => {
      const { member, mayLook, mayAct } = gate.visitor(request)
      return { person: member?.id ?? null, mayLook, mayAct }
    },
  )
  app.post(
    '/api/session',
    { schema: { summary: 'Log in', tags: ['coming in'], body: loginBody, response: { 200: session } } },
    async (request, reply) => {
      const { person, password } = request.body
      const now = clock.monotonic()
      const wait = milliseconds(Math.max(byAddress.waitOf(request.ip, now), byPerson.waitOf(person, now)))
      if (wait > 0) {
        const after = String(Math.ceil(wait / 1000))
        throw new RefusalFault(429, `Too many wrong tries; wait ${after} s.`, {
          headers: { 'retry-after': after },
        })
      }
      // Counted before it is known to be wrong: tries made at the same moment do not slip through together.
      byAddress.failed(request.ip, now)
      byPerson.failed(person, now)
      const member = access.member(person)
      const right = await fits(password, member?.password ?? nobodysPassword)
      if (!right || member === null || member.password === null) {
        log.warn({ from: request.ip }, 'a login was refused')
        throw new RefusalFault(401, 'That person and password do not go together.')
      }
      byAddress.succeeded(request.ip)
      byPerson.succeeded(person)
      reply.header('set-cookie', cookieFor(sessions.open(member, clock.now()), kind))
      return { person: member.id, mayLook: true, mayAct: member.role !== 'guest' }
    },
  )
  app.delete(
    '/api/session',
    { schema: { summary: 'Log out', tags: ['coming in'] } },
    async (_request, reply) => reply.header('set-cookie', cookieFor('', kind)).code(204).send(),
  )
}
