import { useRef, useState } from 'preact/hooks'
import type { AlarmNow, Answer } from '../../../daemon/http/contract.js'
import { api, type Reply } from '../../live/api.js'
import type { Words } from '../../wording/words.js'

/** What became of the last act on an alarm. */
export interface Told {
  readonly says: string
  readonly refused: boolean
}

export interface Acts {
  readonly told: ReadonlyMap<string, Told>
  readonly busy: string | null
  acknowledge(alarm: AlarmNow): void
  reset(alarm: AlarmNow): void
}

/** Sends acts, one at a time, and keeps the daemon's answer beside its alarm. */
export function useActs(by: string | null, words: Words): Acts {
  const [told, setTold] = useState<ReadonlyMap<string, Told>>(new Map())
  const [busy, setBusy] = useState<string | null>(null)
  // State is seen only at the next drawing; two quick taps of a wet thumb come before it.
  const running = useRef(false)
  const run = (alarm: AlarmNow, act: () => Promise<Reply<Answer>>) => {
    if (running.current) return
    running.current = true
    setBusy(alarm.id)
    void act().then((reply) => {
      running.current = false
      setBusy(null)
      setTold((before) => new Map(before).set(alarm.id, toldBy(reply, words)))
    })
  }
  return {
    told,
    busy,
    acknowledge: (alarm) => run(alarm, () => api.acknowledge(alarm, by)),
    reset: (alarm) => run(alarm, () => api.reset(alarm, by, words.resetWhy)),
  }
}

function toldBy(reply: Reply<Answer>, words: Words): Told {
  switch (reply.kind) {
    case 'good':
      return { says: reply.value.text, refused: false }
    case 'refused':
      return { says: reply.says, refused: true }
    case 'unreached':
      return { says: words.notSent, refused: true }
    default:
      return reply satisfies never
  }
}
