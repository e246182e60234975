import type { Sent } from '../ports/channel.js'
import { errorText, outcome } from './detail.js'

interface SmtpTrouble {
  readonly code: string
  /** The server's reply code; null when it did not reply. */
  readonly reply: number | null
  readonly says: string
}

/**
 * What a failed attempt to send a mail means. 4yz is temporary, 5yz permanent (RFC 5321, 4.2.1); no reply, a broken or
 * refused connection and an unknown name are temporary; refused credentials (RFC 4954, 6) and failed encryption are
 * permanent, so that the person's next channel is taken at once.
 */
export function smtpOutcome(error: unknown, secrets: readonly string[]): Sent {
  const { code, reply, says } = troubleOf(error)
  const tell = (kind: 'temporary' | 'permanent', what: string): Sent =>
    outcome(kind, `${what}: ${says}`, secrets)
  if (reply !== null && reply >= 400 && reply < 500)
    return tell('temporary', 'the mail server asks to try again')
  if (code === 'EAUTH' || code === 'ENOAUTH') return tell('permanent', 'the mail server refuses the login')
  // Node's words for a certificate that is expired, of another name or vouched for by nobody; all of them name it.
  if (reply === null && /certificate/i.test(says)) {
    return tell('permanent', 'the mail server’s certificate is not trusted')
  }
  if (code === 'ETLS') return tell('permanent', 'no encrypted connection to the mail server')
  if (reply !== null && reply >= 500 && reply < 600) return tell('permanent', 'the mail server refuses')
  if (code === 'EENVELOPE' && reply === null)
    return tell('permanent', 'sender or recipient is no mail address')
  return tell('temporary', 'the mail server could not be reached')
}

function troubleOf(error: unknown): SmtpTrouble {
  const fields: { readonly code?: unknown; readonly responseCode?: unknown } =
    typeof error === 'object' && error !== null ? error : {}
  return {
    code: typeof fields.code === 'string' ? fields.code : '',
    reply: typeof fields.responseCode === 'number' ? fields.responseCode : null,
    says: errorText(error),
  }
}
