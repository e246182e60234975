import { useEffect } from 'preact/hooks'
import type { AlarmNow, Now } from '../../../daemon/http/contract.js'
import { isUnanswered, speaking } from '../../wording/verdict.js'
import type { Words } from '../../wording/words.js'
import type { Acts } from './acts.js'
import { AnswerButton } from './answer-button.js'

export const unanswered = (now: Now): readonly AlarmNow[] => speaking(now.alarms).filter(isUnanswered)

interface ThumbProps {
  readonly now: Now
  readonly words: Words
  readonly acts: Acts
  /** Who is logged in: then nothing is to be chosen. */
  readonly person: string | null
  readonly chosen: string | null
  readonly onChoose: (person: string | null) => void
}

/** The one thing to press, where the thumb is: acknowledges the worst that nobody has answered. */
export function Thumb({ now, words, acts, person, chosen, onChoose }: ThumbProps) {
  const [worst] = unanswered(now)
  if (worst === undefined) return null
  const told = acts.told.get(worst.id)
  return (
    <div class="thumb" role="region" aria-label={words.acknowledge}>
      {person === null && <Actor {...{ now, words, chosen, onChoose }} />}
      {told?.refused === true && <p class="told refused">{told.says}</p>}
      <AnswerButton busy={acts.busy !== null} onPress={() => acts.acknowledge(worst)}>
        {acts.busy === worst.id ? words.acknowledging : words.acknowledge}
        <small>
          {words.priority[worst.priority]}: {worst.where}, {worst.says}
        </small>
      </AnswerButton>
    </div>
  )
}

function Actor({ now, words, chosen, onChoose }: Pick<ThumbProps, 'now' | 'words' | 'chosen' | 'onChoose'>) {
  // The list of people comes with the first state; a choice kept from before may be of somebody who has left.
  useEffect(() => {
    if (chosen !== null && !now.people.some(({ id }) => id === chosen)) onChoose(null)
  }, [chosen, now.people, onChoose])
  return (
    <label class="actor">
      {words.iAm}
      <select
        value={chosen ?? ''}
        onChange={({ currentTarget }) => onChoose(currentTarget.value === '' ? null : currentTarget.value)}
      >
        <option value="">{words.nobodyChosen}</option>
        {now.people.map(({ id, name }) => (
          <option key={id} value={id}>
            {name}
          </option>
        ))}
      </select>
    </label>
  )
}
