import type { HowComputed } from '../../daemon/http/computing-contract.js'
import type { Answer, Call, Course, Problem, Session } from '../../daemon/http/contract.js'

/** What came of asking. A refusal carries the daemon's own words. */
export type Reply<Value> =
  | { readonly kind: 'good'; readonly value: Value }
  | { readonly kind: 'refused'; readonly status: number; readonly says: string }
  | { readonly kind: 'unreached' }

/** A hung request must end in words, not in a button that stays grey. */
const patience = 15_000

async function ask<Value>(path: string, init: RequestInit = {}): Promise<Reply<Value>> {
  try {
    // Relative to the page, which may lie under any path of a reverse proxy.
    const address = new URL(path, document.baseURI)
    const response = await fetch(address, { ...init, signal: AbortSignal.timeout(patience) })
    if (response.status === 204) return { kind: 'good', value: undefined as Value }
    const body: unknown = await response.json()
    if (response.ok) return { kind: 'good', value: body as Value }
    return { kind: 'refused', status: response.status, says: problemWords(body as Problem) }
  } catch {
    return { kind: 'unreached' }
  }
}

const problemWords = ({ title, detail, errors }: Problem): string =>
  errors === undefined || errors.length === 0
    ? (detail ?? title)
    : errors.map((error) => error.detail).join('; ')

const send = <Value>(path: string, body: object, method = 'POST') =>
  ask<Value>(path, {
    method,
    // The header proves that our own page asks: another site's form cannot set it.
    headers: { 'content-type': 'application/json', 'x-bellwater-act': '1' },
    body: JSON.stringify(body),
  })

const alarmPath = (id: string, verb: string) => `api/alarms/${encodeURIComponent(id)}/${verb}`
const byWhom = (by: string | null) => (by === null ? {} : { by })

export const api = {
  session: () => ask<Session>('api/session'),
  logIn: (person: string, password: string) => send<Session>('api/session', { person, password }),
  logOut: () => send<void>('api/session', {}, 'DELETE'),
  calls: () => ask<readonly Call[]>('api/calls?limit=50'),
  course: (place: string, quantity: string, width: number) =>
    ask<Course>(`api/signals/${encodeURIComponent(place)}/${encodeURIComponent(quantity)}?width=${width}`),
  how: (place: string, quantity: string) =>
    ask<HowComputed>(`api/signals/${encodeURIComponent(place)}/${encodeURIComponent(quantity)}/how`),
  acknowledge: (alarm: { id: string; occurrence: number }, by: string | null) =>
    send<Answer>(alarmPath(alarm.id, 'acknowledge'), { occurrence: alarm.occurrence, ...byWhom(by) }),
  reset: (alarm: { id: string }, by: string | null, why: string) =>
    send<Answer>(alarmPath(alarm.id, 'reset'), { why, ...byWhom(by) }),
}
