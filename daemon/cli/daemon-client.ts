import { Fault } from '../errors.js'
import type { Settings } from '../settings/schema.js'

/** Talks to the daemon that runs on this configuration, over its own HTTP side (contract 7). */
export interface DaemonClient {
  get(path: string): Promise<unknown>
  post(path: string, body: object): Promise<unknown>
}

/** An answer that does not come within this is none. */
const patience = 10_000

export function daemonClient({ web }: Pick<Settings, 'web'>): DaemonClient {
  const host = web.listen.host.includes(':') ? `[${web.listen.host}]` : web.listen.host
  const base = `http://${host}:${web.listen.port}`
  const ask = async (path: string, init: RequestInit): Promise<unknown> => {
    const answer = await fetch(`${base}${path}`, { ...init, signal: AbortSignal.timeout(patience) }).catch(
      (cause: unknown) => {
        throw new Fault(
          'BW_HTTP',
          `no watch answers at ${base}`,
          'is it running, with this configuration? start it with: bellwater run',
          { cause },
        )
      },
    )
    const body = (await answer.json().catch(() => ({}))) as { title?: string; detail?: string }
    if (answer.ok) return body
    throw new Fault(
      'BW_HTTP',
      body.detail ?? body.title ?? `the watch answered ${answer.status}`,
      answer.status === 401 ? 'here the pages ask for a login: act on the page' : '',
    )
  }
  return {
    get: (path) => ask(path, {}),
    post: (path, body) =>
      ask(path, {
        method: 'POST',
        headers: { 'content-type': 'application/json', 'x-bellwater-act': '1' },
        body: JSON.stringify(body),
      }),
  }
}
