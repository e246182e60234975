import type { Change, Now } from '../../daemon/http/contract.js'
import { anchorAt, serverTime, type Anchor } from './age.js'
import { api } from './api.js'
import { merged } from './merge.js'

/** How things stand between the page and the daemon. */
export type Link =
  | { readonly kind: 'opening' }
  | { readonly kind: 'live' }
  /** `since`: server's time when anything was last heard; null when nothing ever was. */
  | { readonly kind: 'lost'; readonly since: number | null }
  | { readonly kind: 'locked' }

export interface View {
  readonly link: Link
  readonly now: Now | null
  readonly anchor: Anchor | null
  /** Grows whenever calls were made or their outcome came. */
  readonly callsTold: number
}

/** The daemon beats every 10 s; two and a half beats of silence mean that nobody is there, whatever TCP believes. */
const silenceMax = 25_000
const firstWait = 1000
const longestWait = 15_000

export interface Connection {
  retry(): void
  close(): void
}

/** Keeps a live view of the farm and tells it on every change. Reconnects by itself, for ever. */
export function watchFarm(tell: (view: View) => void): Connection {
  let view: View = { link: { kind: 'opening' }, now: null, anchor: null, callsTold: 0 }
  let source: EventSource | null = null
  let wait = firstWait
  let silence = 0
  let again = 0
  // Tries may overlap (a tap, a woken phone): only the latest may open a stream.
  let latest = 0

  const show = (part: Partial<View>) => tell((view = { ...view, ...part }))
  const heard = (at: number, part: Partial<View> = {}) => {
    window.clearTimeout(silence)
    silence = window.setTimeout(lose, silenceMax)
    wait = firstWait
    show({ ...part, link: { kind: 'live' }, anchor: anchorAt(at) })
  }
  const stop = () => {
    latest += 1
    source?.close()
    source = null
    window.clearTimeout(silence)
    window.clearTimeout(again)
  }
  const lose = () => {
    stop()
    const { link, anchor } = view
    // The moment is that of the last word heard, and stays so while tries fail.
    if (link.kind !== 'lost') show({ link: { kind: 'lost', since: anchor === null ? null : anchor.at } })
    again = window.setTimeout(() => void open(), wait)
    wait = Math.min(wait * 2, longestWait)
  }
  const open = async () => {
    stop()
    const mine = latest
    // An event stream does not say why it was refused; this does.
    const session = await api.session()
    if (mine !== latest) return
    if (session.kind !== 'good') return lose()
    if (!session.value.mayLook) return show({ link: { kind: 'locked' } })
    source = listen({
      now: (now) => heard(now.at, { now }),
      change: (change) => heard(change.at, view.now === null ? {} : { now: merged(view.now, change) }),
      call: ({ at }) => heard(at, { callsTold: view.callsTold + 1 }),
      beat: ({ at }) => heard(at),
      error: lose,
    })
    silence = window.setTimeout(lose, silenceMax)
  }
  const retry = () => {
    wait = firstWait
    void open()
  }
  const sleepless = onWaking(() => {
    const { anchor, link } = view
    const quiet = anchor !== null && serverTime(anchor) - anchor.at > silenceMax
    if (link.kind === 'lost' || (link.kind === 'live' && quiet)) retry()
  })
  void open()
  return { retry, close: () => (stop(), sleepless()) }
}

/** A phone that was in a pocket asks at once instead of trusting what it knew. Returns how to stop. */
function onWaking(wake: () => void): () => void {
  const seen = () => document.visibilityState === 'visible' && wake()
  document.addEventListener('visibilitychange', seen)
  window.addEventListener('online', seen)
  return () => {
    document.removeEventListener('visibilitychange', seen)
    window.removeEventListener('online', seen)
  }
}

interface Ears {
  readonly now: (now: Now) => void
  readonly change: (change: Change) => void
  readonly call: (told: { readonly at: number }) => void
  readonly beat: (told: { readonly at: number }) => void
  readonly error: () => void
}

function listen(ears: Ears): EventSource {
  const stream = new EventSource(new URL('api/events', document.baseURI))
  const on = <Data>(event: string, take: (data: Data) => void) =>
    stream.addEventListener(event, (message: MessageEvent<string>) => take(JSON.parse(message.data) as Data))
  on('now', ears.now)
  on('change', ears.change)
  on('call', ears.call)
  on('beat', ears.beat)
  stream.addEventListener('error', ears.error)
  return stream
}
