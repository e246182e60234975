import type { FastifyRequest } from 'fastify'
import { isIP } from 'node:net'
import type { Clock } from '../../ports/clock.js'
import { isLoopback, type WebOptions } from '../options.js'
import { RefusalFault } from '../problem.js'
import { cookieIn } from './cookie.js'
import type { Member, Sessions } from './session.js'

/** What a request may do, decided once. */
export interface Visitor {
  readonly member: Member | null
  readonly mayLook: boolean
  readonly mayAct: boolean
}

export interface Gate {
  visitor(request: FastifyRequest): Visitor
  /** Refuses hosts that a rebinding attacker could have named, and acts that another site's page asks for. */
  checkAddress(request: FastifyRequest): void
  look(request: FastifyRequest): void
  act(request: FastifyRequest): void
  /** Who acts, for the record: the person logged in, else the one named, who must be one of the farm's. */
  actor(request: FastifyRequest, named: string | undefined): string
}

/** Header that every act must carry: a form or a link of another site cannot set it. */
export const actHeader = 'x-bellwater-act'

/** How people come in and what they may do (contract 7). */
export function gateOf(parts: {
  readonly options: WebOptions
  readonly sessions: Sessions
  readonly clock: Clock
  readonly isPerson: (id: string) => boolean
}): Gate {
  const { options, sessions, clock } = parts
  const publicHost = options.publicUrl === null ? null : new URL(options.publicUrl).host
  const visitor = (request: FastifyRequest): Visitor => {
    const token = cookieIn(request.headers.cookie)
    const member = token === null ? null : sessions.read(token, clock.now())
    const here = straightFromHere(request)
    return {
      member,
      mayLook: member !== null || (here && options.lookWithoutLogin),
      mayAct: member !== null ? member.role !== 'guest' : here && options.actWithoutLogin,
    }
  }
  return {
    visitor,
    checkAddress(request) {
      if (options.lookWithoutLogin) checkHost(request, publicHost)
      if (request.method !== 'GET' && request.method !== 'HEAD') checkOrigin(request, publicHost)
    },
    look(request) {
      if (visitor(request).mayLook) return
      throw new RefusalFault(401, 'Log in first.')
    },
    act(request) {
      if (request.headers[actHeader] === undefined) {
        throw new RefusalFault(
          403,
          `An act must carry the header ${actHeader}: 1, which another site's page cannot send.`,
        )
      }
      const { member, mayAct } = visitor(request)
      if (mayAct) return
      if (member === null) throw new RefusalFault(401, 'Log in first.')
      throw new RefusalFault(403, 'A guest may look, not act.')
    },
    actor(request, named) {
      const { member } = visitor(request)
      if (member !== null) return member.id
      if (named === undefined) return 'page'
      if (parts.isPerson(named)) return named
      throw new RefusalFault(422, 'What was sent does not fit; see errors.', {
        errors: [{ pointer: '#/by', detail: `"${named}" is none of the farm's people` }],
      })
    },
  }
}

/** A local proxy makes strangers look like this machine; its own headers give it away. */
function straightFromHere(request: FastifyRequest): boolean {
  const { headers, socket } = request.raw
  const forwarded = ['forwarded', 'x-forwarded-for', 'x-forwarded-host', 'x-real-ip', 'via']
  return isLoopback(socket.remoteAddress ?? '') && forwarded.every((name) => headers[name] === undefined)
}

/**
 * DNS rebinding: a page of evil.example whose name suddenly means 127.0.0.1 is "same origin" to the browser. Its Host
 * header still says evil.example; an address written in digits cannot be rebound.
 */
function checkHost(request: FastifyRequest, publicHost: string | null): void {
  const host = request.raw.headers.host ?? ''
  const name = host.replace(/:\d+$/, '')
  const inDigits = isIP(name.replace(/^\[|\]$/g, '')) !== 0
  if (inDigits || isLoopback(name) || host === publicHost) return
  throw new RefusalFault(
    421,
    `This is not "${host}"; use 127.0.0.1, or set web.public_url to the name you use.`,
  )
}

function checkOrigin(request: FastifyRequest, publicHost: string | null): void {
  const { origin, host } = request.raw.headers
  const site = request.raw.headers['sec-fetch-site']
  if (site !== undefined && site !== 'same-origin' && site !== 'none') throw foreign()
  if (origin === undefined) return
  const from = URL.canParse(origin) ? new URL(origin).host : null
  if (from === null || (from !== host && from !== publicHost)) throw foreign()
}

const foreign = () => new RefusalFault(403, 'Acts are taken only from our own page.')
