import { useState } from 'preact/hooks'
import { api } from '../../live/api.js'
import type { Words } from '../../wording/words.js'

interface ComingInProps {
  readonly words: Words
  readonly remembered: string | null
  readonly onIn: (person: string) => void
}

/** Who are you? */
export function ComingIn({ words, remembered, onIn }: ComingInProps) {
  const [says, setSays] = useState('')
  const [busy, setBusy] = useState(false)
  const submit = (event: SubmitEvent & { currentTarget: HTMLFormElement }) => {
    event.preventDefault()
    const form = new FormData(event.currentTarget)
    const person = String(form.get('person')).trim()
    setBusy(true)
    void api.logIn(person, String(form.get('password'))).then((reply) => {
      setBusy(false)
      if (reply.kind === 'good') onIn(person)
      else setSays(reply.kind === 'refused' ? reply.says : words.notSent)
    })
  }
  return (
    <main class="come-in">
      <h1>{words.comeIn}</h1>
      <p class="faint">{words.comeInWhy}</p>
      <form onSubmit={submit}>
        <label>
          {words.person}
          <input
            name="person"
            autocomplete="username"
            autocapitalize="none"
            required
            defaultValue={remembered ?? ''}
          />
        </label>
        <label>
          {words.password}
          <input name="password" type="password" autocomplete="current-password" required />
        </label>
        <p class="told refused" role="alert">
          {says}
        </p>
        <button type="submit" class="answer" aria-disabled={busy}>
          {busy ? words.acknowledging : words.logIn}
        </button>
      </form>
    </main>
  )
}
