import type { Sent } from '../ports/channel.js'

// Long enough for a server's sentence, short enough for a line of the journal.
const detailMax = 200
// Shorter ones stand in ordinary words too, and hide nothing worth hiding.
const secretMin = 4

/** An outcome, its detail one line without secrets. `secrets`: whatever must never be seen, each also in its usual encodings. */
export const outcome = (kind: Sent['kind'], detail: string, secrets: readonly string[] = []): Sent => ({
  kind,
  detail: withoutSecrets(detail.replaceAll(/[\s\p{Cc}]+/gu, ' ').trim(), secrets).slice(0, detailMax),
})

function withoutSecrets(text: string, secrets: readonly string[]): string {
  const forms = secrets
    .filter((secret) => secret.length >= secretMin)
    .flatMap((secret) => [
      secret,
      encodeURIComponent(secret),
      Buffer.from(secret).toString('base64'),
      JSON.stringify(secret).slice(1, -1),
    ])
    // The longest first, so that no end of one is left over when a shorter one is part of it.
    .toSorted((one, other) => other.length - one.length)
  return forms.reduce((plain, form) => plain.replaceAll(form, '***'), text)
}

/** What an error says, with what caused it: `fetch failed: connect ECONNREFUSED 127.0.0.1:9`. */
export function errorText(error: unknown): string {
  if (!(error instanceof Error)) return String(error)
  // Attempts on several addresses of one host come as an AggregateError without words of its own.
  const inner = error instanceof AggregateError ? (error.errors as readonly unknown[])[0] : error.cause
  const words = error.message === '' ? error.name : error.message
  return inner === undefined ? words : `${words}: ${errorText(inner)}`
}
