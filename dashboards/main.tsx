import { render } from 'preact'
import { useCallback, useEffect, useRef, useState } from 'preact/hooks'
import type { Session, SignalNow } from '../daemon/http/contract.js'
import { serverTime } from './live/age.js'
import { api } from './live/api.js'
import { watchFarm, type Connection, type View } from './live/connection.js'
import './look/page.css'
import { ComingIn } from './screens/coming-in/coming-in.js'
import { NowScreen } from './screens/now/now.js'
import { OneSignal } from './screens/one-signal/one-signal.js'
import { wordsFor } from './wording/words.js'

const words = wordsFor(navigator.languages)
/** Ages are told in seconds at first. */
const tick = 1000
const personKey = 'bellwater.person'

const nothingYet: View = { link: { kind: 'opening' }, now: null, anchor: null, callsTold: 0 }
const nobody: Session = { person: null, mayLook: false, mayAct: false }

function Page() {
  const [view, setView] = useState<View>(nothingYet)
  const [session, setSession] = useState<Session>(nobody)
  const [chosen, setChosen] = useState(() => localStorage.getItem(personKey))
  const [opened, setOpened] = useState<SignalNow | null>(null)
  const [, setTick] = useState(0)
  const connection = useRef<Connection | null>(null)

  useEffect(() => {
    const made = watchFarm(setView)
    connection.current = made
    return () => made.close()
  }, [])
  useEffect(() => {
    const timer = window.setInterval(() => setTick((count) => count + 1), tick)
    return () => window.clearInterval(timer)
  }, [])
  const live = view.link.kind === 'live'
  useEffect(() => {
    if (live) void api.session().then((reply) => reply.kind === 'good' && setSession(reply.value))
  }, [live])
  const choose = useCallback((person: string | null) => {
    if (person === null) localStorage.removeItem(personKey)
    else localStorage.setItem(personKey, person)
    setChosen(person)
  }, [])
  const retry = () => connection.current?.retry()

  if (view.link.kind === 'locked') {
    const cameIn = (person: string) => {
      choose(person)
      retry()
    }
    return <ComingIn words={words} remembered={chosen} onIn={cameIn} />
  }
  const { now, anchor } = view
  if (now === null || anchor === null) return <Opening view={view} onRetry={retry} />
  const manner = { now: serverTime(anchor), timeZone: now.farm.timeZone, units: now.farm.showUnits }
  const placeName = (id: string) =>
    [...now.places, ...now.equipment].find((place) => place.id === id)?.label ?? id
  return (
    <>
      <NowScreen
        link={view.link}
        callsTold={view.callsTold}
        onChoose={choose}
        onOpen={setOpened}
        onRetry={retry}
        onLogOut={() => void api.logOut().then(retry)}
        {...{ now, session, chosen, words, manner }}
      />
      {opened !== null && (
        <OneSignal
          key={opened.signal}
          signal={opened}
          place={placeName(opened.place)}
          onClose={() => setOpened(null)}
          {...{ words, manner }}
        />
      )}
    </>
  )
}

/** Before anything was heard. */
function Opening({ view, onRetry }: { readonly view: View; readonly onRetry: () => void }) {
  const lost = view.link.kind === 'lost'
  return (
    <main class="come-in">
      <h1 aria-live="polite">{lost ? words.neverHeard : words.opening}</h1>
      {lost && (
        <button type="button" class="plain" onClick={onRetry}>
          {words.tryNow}
        </button>
      )}
    </main>
  )
}

const page = document.getElementById('page')
if (page !== null) {
  page.replaceChildren()
  document.documentElement.lang = words.language
  render(<Page />, page)
}
