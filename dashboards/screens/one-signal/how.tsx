import { useEffect, useState } from 'preact/hooks'
import type { HowComputed } from '../../../daemon/http/computing-contract.js'
import type { SignalNow } from '../../../daemon/http/contract.js'
import { api, type Reply } from '../../live/api.js'
import { QualityMark } from '../../look/marks.js'
import type { Manner } from '../../wording/en.js'
import { valueText } from '../../wording/shown.js'
import type { Words } from '../../wording/words.js'

interface HowProps {
  readonly signal: SignalNow
  readonly words: Words
  readonly manner: Manner
}

/** How a computed value came about: what it was made from, how old that was, by which equation. */
export function How({ signal, words, manner }: HowProps) {
  const [reply, setReply] = useState<Reply<HowComputed> | null>(null)
  useEffect(() => {
    let wanted = true
    void api.how(signal.place, signal.quantity).then((answer) => wanted && setReply(answer))
    return () => void (wanted = false)
    // Anew with every value, so that it never explains another number than the one shown.
  }, [signal.place, signal.quantity, signal.at])
  if (reply === null) return null
  return (
    <section class="how" aria-labelledby="how">
      <h3 id="how">{words.how}</h3>
      {reply.kind === 'good' ? (
        <Made how={reply.value} {...{ signal, words, manner }} />
      ) : (
        <p>{words.howFailed}</p>
      )}
    </section>
  )
}

function Made({ how, signal, words, manner }: HowProps & { readonly how: HowComputed }) {
  const text = (value: number) => valueText(signal, value, manner.units)
  const interval = words.interval(
    how.low === null ? null : text(how.low),
    how.high === null ? null : text(how.high),
  )
  return (
    <>
      {interval !== '' && <p>{interval}</p>}
      {how.reasons.length > 0 && <p class={how.quality === 'good' ? '' : 'warn'}>{how.reasons.join('; ')}</p>}
      <ul class="inputs">
        {how.inputs.map((input) => (
          <Input key={input.name} place={signal.place} {...{ input, words, manner }} />
        ))}
      </ul>
      <p class="formula">{how.equation.formula}</p>
      <p class="meta">
        {how.equation.valid !== '' && `${words.validFor} ${how.equation.valid}. `}
        {words.source} {how.source} ({how.equation.id}).
      </p>
    </>
  )
}

interface InputProps extends Pick<HowProps, 'words' | 'manner'> {
  readonly input: HowComputed['inputs'][number]
  /** Of the value itself: what was measured elsewhere says where. */
  readonly place: string
}

function Input({ input, place, words, manner }: InputProps) {
  const { label, value, unit, age, quality, assumed, signal } = input
  const [at = '', quantity = ''] = signal?.split('/') ?? []
  return (
    <li>
      <span class="name">{words.sentence(label)}</span>{' '}
      <span class="figure">
        {value === null ? words.noValue : valueText({ quantity, unit }, value, manner.units)}
      </span>
      <span class="meta">
        {assumed === null && <QualityMark quality={quality} word={words.quality[quality]} />}
        {assumed !== null && words.assumed(assumed)}
        {age !== null && `, ${words.old(age)}`}
        {assumed === null && at !== place && at !== '' && `, ${at}`}
      </span>
    </li>
  )
}
