import type { Now, Session, SignalNow } from '../../../daemon/http/contract.js'
import type { Link } from '../../live/connection.js'
import type { Manner } from '../../wording/en.js'
import { verdictOf } from '../../wording/verdict.js'
import type { Words } from '../../wording/words.js'
import { useActs } from './acts.js'
import { Alarms, HeldBack } from './alarms.js'
import { verdictId } from './answer-button.js'
import { Calls } from './calls.js'
import { Equipment } from './equipment.js'
import { Elsewhere, Tanks } from './places.js'
import { Thumb, unanswered } from './thumb.js'

export interface NowScreenProps {
  readonly now: Now
  readonly link: Link
  readonly callsTold: number
  readonly session: Session
  readonly chosen: string | null
  readonly words: Words
  readonly manner: Manner
  readonly onChoose: (person: string | null) => void
  readonly onOpen: (signal: SignalNow) => void
  readonly onRetry: () => void
  readonly onLogOut: () => void
}

/** How is it now? Worst first: one sentence, what needs somebody, then the tanks and all the rest. */
export function NowScreen(props: NowScreenProps) {
  const { now, link, session, words, manner, chosen, onChoose, onOpen, callsTold } = props
  const acts = useActs(session.person === null ? chosen : null, words)
  const lost = link.kind === 'lost'
  const toAnswer = session.mayAct && unanswered(now).length > 0
  return (
    <div class={`sheet ${lost ? 'unheard' : ''} ${toAnswer ? 'to-answer' : ''}`}>
      <Masthead {...props} />
      {now.stage !== null && (
        <aside class="stage" aria-label={words.practice}>
          <p>
            <strong>{words.practice}</strong>
            {now.stage.says}
          </p>
          <p class="try">{now.stage.tryThis}</p>
        </aside>
      )}
      <main class="columns">
        <div class="lead">
          <VerdictHead {...props} />
          {toAnswer && <Thumb person={session.person} {...{ now, words, acts, chosen, onChoose }} />}
          <Alarms mayAct={session.mayAct} {...{ now, words, manner, acts }} />
          <HeldBack {...{ now, words, manner }} />
        </div>
        <div class="waters">
          <Tanks {...{ now, words, manner, onOpen }} />
          <Equipment {...{ now, words, manner }} />
          <Elsewhere {...{ now, words, manner, onOpen }} />
        </div>
        <div class="told-to">
          <Calls told={callsTold} {...{ now, words, manner }} />
        </div>
      </main>
      <footer class="foot">
        <p>{words.disclaimer}</p>
        {session.person !== null && (
          <p>
            {words.loggedInAs(session.person)}{' '}
            <button type="button" class="plain" onClick={props.onLogOut}>
              {words.logOut}
            </button>
          </p>
        )}
      </footer>
    </div>
  )
}

function Masthead({ now, link, words, manner }: NowScreenProps) {
  return (
    <header class="masthead">
      <a class="skip unseen" href="#tanks">
        {words.skip}
      </a>
      <span class="farm">{words.log(now.farm.name)}</span>
      <span class="figures">
        {link.kind === 'live' && `${words.live}, `}
        {words.asOf(link.kind === 'lost' ? (link.since ?? now.at) : manner.now, manner)}
      </span>
    </header>
  )
}

function VerdictHead({ now, link, words, manner, onRetry }: NowScreenProps) {
  const verdict = verdictOf(now)
  const lost = link.kind === 'lost' ? words.lost(link.since ?? now.at, manner) : null
  const text = words.verdict(verdict, manner)
  return (
    <div class="verdict">
      {/* Told apart from what is shown, so that growing ages are not read out every minute. */}
      <p class="unseen" role="status" aria-live="assertive">
        {lost ?? words.verdict(verdict, manner, true)}
      </p>
      {lost === null ? (
        <h1 id={verdictId} tabIndex={-1}>
          {text}
        </h1>
      ) : (
        <div class="lost-note">
          <h1 id={verdictId} tabIndex={-1}>
            {lost}
          </h1>
          <p>{words.lostMeans}</p>
          <p>{words.lastKnown(text)}</p>
          <button type="button" class="plain" onClick={onRetry}>
            {words.tryNow}
          </button>
        </div>
      )}
    </div>
  )
}
