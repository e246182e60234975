import { useEffect, useState } from 'preact/hooks'
import type { Call, Now } from '../../../daemon/http/contract.js'
import { api, type Reply } from '../../live/api.js'
import type { Manner } from '../../wording/en.js'
import type { Words } from '../../wording/words.js'

interface CallsProps {
  readonly now: Now
  readonly words: Words
  readonly manner: Manner
  /** Changes whenever calls were made or answered for. */
  readonly told: number
}

/** More would push the rest out of reach; the others open on demand. */
const shownMax = 4

/** Who was called, when, by which way, with what words, and what became of it. */
export function Calls({ now, words, manner, told }: CallsProps) {
  const [reply, setReply] = useState<Reply<readonly Call[]> | null>(null)
  useEffect(() => {
    let wanted = true
    void api.calls().then((answer) => wanted && setReply(answer))
    return () => void (wanted = false)
  }, [told])
  const calls = reply?.kind === 'good' ? reply.value : []
  const nameOf = (id: string) => now.people.find((person) => person.id === id)?.name ?? id
  const entry = (call: Call) => (
    <CallEntry key={call.id} name={nameOf(call.to)} {...{ call, words, manner }} />
  )
  return (
    <section aria-labelledby="calls">
      <h2 id="calls">{words.calls}</h2>
      <p class="faint">
        {now.onDuty.length === 0
          ? words.nobodyOnDuty
          : words.onDuty(now.onDuty.map(({ name }) => name).join(', '))}
      </p>
      {reply !== null && reply.kind !== 'good' && <p class="warn">{words.callsUnknown}</p>}
      {reply?.kind === 'good' && calls.length === 0 && <p class="faint">{words.callsNone}</p>}
      <ol class="calls">{calls.slice(0, shownMax).map(entry)}</ol>
      {calls.length > shownMax && (
        <details>
          <summary>{words.callsMore(calls.length - shownMax)}</summary>
          <ol class="calls">{calls.slice(shownMax).map(entry)}</ol>
        </details>
      )}
    </section>
  )
}

const failed = new Set(['temporary', 'permanent'])

interface CallEntryProps extends Pick<CallsProps, 'words' | 'manner'> {
  readonly call: Call
  readonly name: string
}

function CallEntry({ call, name, words, manner }: CallEntryProps) {
  const bad = failed.has(call.outcome ?? '')
  return (
    <li>
      <div class="line">
        <span class="figures">
          {words.atTime(call.at, manner)} {name}, {call.channel}
        </span>
        <span class={bad ? 'warn' : 'faint'}>
          <span aria-hidden="true">{bad ? '✕ ' : call.outcome === null ? '… ' : '✓ '}</span>
          {words.outcome(call.outcome)}
        </span>
      </div>
      {call.text !== null && <p class="text">{call.text}</p>}
      {bad && call.detail !== null && <span class="meta">{call.detail}</span>}
    </li>
  )
}
