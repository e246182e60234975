import { createTransport } from 'nodemailer'
import type { Channel, Letter, Sent } from '../ports/channel.js'
import { outcome } from './detail.js'
import { bodyOf } from './letter-body.js'
import { limited } from './limited.js'
import type { EmailOptions } from './options.js'
import { smtpOutcome } from './smtp-outcome.js'

// Two at once: a stuck mail does not hold up the next, and no relay takes it for an attack.
const connectionsMax = 2
const loopback = /^(localhost|127\.\d+\.\d+\.\d+|::1)$/

/**
 * Mail over SMTP (RFC 5321), by submission to a relay (RFC 6409). The Message-ID follows from the letter's id, so that a
 * letter sent again after a restart is recognised as the same. Accepted means that the relay took it, no more.
 */
export function emailChannel(options: EmailOptions): Channel {
  const { login } = options
  const secrets = login === null ? [] : [login.password, `\0${login.username}\0${login.password}`]
  const transport = createTransport(poolOf(options))
  const send = async (letter: Letter, signal: AbortSignal): Promise<Sent> => {
    try {
      const { response } = await transport.sendMail({ ...mailOf(letter, options.from), signal })
      return outcome('accepted', response, secrets)
    } catch (error) {
      return smtpOutcome(error, secrets)
    }
  }
  const { attempt, close } = limited(send, {
    within: options.within,
    secrets,
    release: () => transport.close(),
  })
  return { name: options.name, send: attempt, close }
}

function poolOf(options: EmailOptions) {
  const { host, port, encryption, login, authorities, within } = options
  const mustEncrypt =
    encryption === 'starttls' || (encryption === 'if_offered' && login !== null && !loopback.test(host))
  return {
    pool: true as const,
    maxConnections: connectionsMax,
    // A connection that broke before a byte was sent may be made anew once; further tries are the call-out's business.
    maxRequeues: 1,
    host,
    port,
    secure: encryption === 'tls',
    requireTLS: mustEncrypt,
    ignoreTLS: encryption === 'none',
    tls: {
      // Encryption that nobody insists on cannot be proof against someone in between, who would just not offer it; it
      // still is better than none (RFC 7435, 3).
      rejectUnauthorized: encryption === 'tls' || mustEncrypt,
      ...(authorities === null ? {} : { ca: authorities }),
    },
    ...(login === null ? {} : { auth: { user: login.username, pass: login.password } }),
    dnsTimeout: within,
    connectionTimeout: within,
    greetingTimeout: within,
    socketTimeout: within,
    socketCloseTimeout: 0,
    disableFileAccess: true,
    disableUrlAccess: true,
  }
}

function mailOf(letter: Letter, from: string) {
  const domain = /@([^\s@>]+)/.exec(from)?.[1] ?? 'localhost'
  return {
    from,
    to: { name: letter.person, address: letter.address },
    subject: letter.subject,
    text: bodyOf(letter),
    messageId: `<bellwater-call-${letter.id}@${domain}>`,
    // Tests must not teach people that urgent mail is nothing.
    priority: letter.test ? ('normal' as const) : ('high' as const),
    headers: {
      // No holiday reply shall answer it (RFC 3834, 5).
      'Auto-Submitted': 'auto-generated',
      'Content-Language': letter.language,
    },
  }
}
