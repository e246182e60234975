import type { AlarmNow, Now } from '../../../daemon/http/contract.js'
import { PriorityMark } from '../../look/marks.js'
import type { Manner } from '../../wording/en.js'
import { heldBack, isUnanswered, speaking } from '../../wording/verdict.js'
import type { Words } from '../../wording/words.js'
import type { Acts } from './acts.js'
import { AnswerButton } from './answer-button.js'

interface AlarmsProps {
  readonly now: Now
  readonly words: Words
  readonly manner: Manner
  readonly acts: Acts
  readonly mayAct: boolean
}

/** Alarms that speak, worst first, each with what to do. */
export function Alarms({ now, ...rest }: AlarmsProps) {
  const alarms = speaking(now.alarms)
  if (alarms.length === 0) return null
  return (
    <section aria-labelledby="needs-you">
      <h2 id="needs-you">{rest.words.needsYou}</h2>
      <ol class="alarms">
        {alarms.map((alarm) => (
          <AlarmEntry key={`${alarm.id} ${alarm.occurrence}`} alarm={alarm} nameOf={nameOf(now)} {...rest} />
        ))}
      </ol>
    </section>
  )
}

const nameOf = (now: Now) => (id: string) => now.people.find((person) => person.id === id)?.name ?? id

type EntryProps = Omit<AlarmsProps, 'now'> & {
  readonly alarm: AlarmNow
  readonly nameOf: (id: string) => string
}

function AlarmEntry({ alarm, nameOf, words, manner, acts, mayAct }: EntryProps) {
  const told = acts.told.get(alarm.id)
  const since = alarm.conditionSince
  return (
    <li>
      <div class="line">
        <PriorityMark priority={alarm.priority} word={words.priority[alarm.priority]} />
        {alarm.number !== null && <span class="faint figures">{words.number(alarm.number)}</span>}
      </div>
      <h3>
        {words.sentence(alarm.where)}: {alarm.says}
      </h3>
      <p class="faint figures">{since !== null && words.since(since, manner)}</p>
      <Standing {...{ alarm, nameOf, words, manner }} />
      <dl class="orders">
        <Order word={words.doThis} text={alarm.response} strong />
        <Order word={words.consequence} text={alarm.consequence} />
        <Order word={words.cause} text={alarm.cause} />
      </dl>
      <p class={`told ${told?.refused === true ? 'refused' : ''}`} role="status">
        {told?.says ?? ''}
      </p>
      {mayAct && <EntryActs {...{ alarm, words, acts }} />}
    </li>
  )
}

function EntryActs({ alarm, words, acts }: Pick<EntryProps, 'alarm' | 'words' | 'acts'>) {
  const latched = alarm.state === 'LATAK' || alarm.state === 'LATUN'
  if (!isUnanswered(alarm) && !latched) return null
  return (
    <div class="acts">
      {isUnanswered(alarm) && (
        <AnswerButton
          busy={acts.busy !== null}
          label={words.acknowledgeThis(alarm)}
          onPress={() => acts.acknowledge(alarm)}
        >
          {acts.busy === alarm.id ? words.acknowledging : words.acknowledge}
        </AnswerButton>
      )}
      {latched && (
        <button type="button" class="plain" onClick={() => acts.reset(alarm)}>
          {words.reset}
        </button>
      )}
    </div>
  )
}

/** Where the alarm stands with people: who is called next, who has answered, whether it is over. */
function Standing({
  alarm,
  nameOf,
  words,
  manner,
}: Pick<EntryProps, 'alarm' | 'nameOf' | 'words' | 'manner'>) {
  const { state, acknowledgedBy, acknowledgedAt, calling } = alarm
  const lines = [
    ...(acknowledgedBy === null
      ? []
      : [words.acknowledgedBy(nameOf(acknowledgedBy), acknowledgedAt, manner)]),
    ...(state === 'RTNUN' ? [words.over] : state === 'LATUN' || state === 'LATAK' ? [words.latched] : []),
    ...(calling === null ? [] : [words.calling(calling.step, calling.nextAt, manner)]),
  ]
  return lines.length === 0 ? null : <p class="figures">{lines.join('. ')}</p>
}

function Order({ word, text, strong = false }: { word: string; text: string | null; strong?: boolean }) {
  if (text === null) return null
  return (
    <>
      <dt>{word}</dt>
      <dd class={strong ? 'do' : ''}>{text}</dd>
    </>
  )
}

/** How much is kept from speaking or from being seen: the four numbers are always in sight (AL-34). */
export function HeldBack({ now, words, manner }: Pick<AlarmsProps, 'now' | 'words' | 'manner'>) {
  const { counts } = now
  const held = heldBack(now.alarms)
  const parts = [
    ['shelved', counts.shelved],
    ['suppressed', counts.suppressed],
    ['outOfService', counts.outOfService],
    ['stale', counts.stale],
  ] as const
  return (
    <section aria-labelledby="held-back">
      <h2 id="held-back">{words.heldBack}</h2>
      <dl class="counts">
        {parts.map(([name, count]) => (
          <div key={name} class={count > 0 ? 'some' : ''}>
            <dd>{count}</dd>
            <dt>{words.counts[name]}</dt>
          </div>
        ))}
      </dl>
      <ul class="held">
        {held.map((alarm) => (
          <li key={alarm.id}>
            {words.sentence(alarm.where)}: {alarm.says}
            <span class="meta">
              {words.states[alarm.state]}
              {alarm.held !== null &&
                `: ${words.heldWhy({ ...alarm.held, by: nameOf(now)(alarm.held.by) }, manner)}`}
            </span>
          </li>
        ))}
      </ul>
    </section>
  )
}
