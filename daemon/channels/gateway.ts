import { Fault } from '../errors.js'
import type { Channel, Letter, Sent } from '../ports/channel.js'
import { errorText, outcome } from './detail.js'
import { httpCall, httpRefusal, type HttpAnswer, type HttpRequest } from './http-call.js'
import { limited } from './limited.js'
import type { AcceptanceRule, GatewayOptions } from './options.js'
import { escapeFor, filled } from './template.js'

/**
 * Texts through any service that takes an HTTP request. Throws `BW_CHANNEL` for a pattern that is no regular expression;
 * `send` never throws.
 */
export function gatewayChannel(options: GatewayOptions): Channel {
  const says = bodyRule(options)
  const secrets = secretsOf(options)
  const send = async (letter: Letter, signal: AbortSignal): Promise<Sent> => {
    const answer = await httpCall(requestOf(options, letter), signal)
    const [from, to] = options.accepted.status
    if (answer.status < from || answer.status > to) return httpRefusal(answer, secrets)
    if (says(answer)) return outcome('accepted', `HTTP ${answer.status} ${answer.body}`, secrets)
    // It may be a limit that passes or an order that never will be taken; trying again costs a minute, not trying a night.
    return outcome('temporary', `the gateway did not take it: HTTP ${answer.status} ${answer.body}`, secrets)
  }
  const { attempt, close } = limited(
    (letter: Letter, signal) =>
      send(letter, signal).catch((error: unknown) =>
        outcome('temporary', `the gateway could not be reached: ${errorText(error)}`, secrets),
      ),
    { within: options.within, secrets },
  )
  return { name: options.name, send: attempt, close }
}

function requestOf(options: GatewayOptions, letter: Letter): HttpRequest {
  const { url, method, headers, body } = options
  const fields = {
    to: letter.address,
    text: letter.text,
    id: String(letter.id),
    subject: letter.subject,
  }
  const escape = escapeFor(contentTypeOf(headers))
  return {
    url: filled(url, fields, encodeURIComponent),
    method,
    headers,
    // fetch refuses a body with GET (WHATWG Fetch, 5.3).
    body: body === null || method === 'GET' ? null : filled(body, fields, escape),
  }
}

const contentTypeOf = (headers: Readonly<Record<string, string>>): string =>
  Object.entries(headers).find(([name]) => name.toLowerCase() === 'content-type')?.[1] ?? ''

// Header fields that say nothing secret and stand in answers too.
const plainHeaders = ['content-type', 'accept', 'user-agent']

/** Keys stand in header fields (whole, or after `Bearer`) and in the query of the address. */
function secretsOf({ url, headers }: GatewayOptions): readonly string[] {
  const fields = Object.entries(headers).filter(([name]) => !plainHeaders.includes(name.toLowerCase()))
  const { searchParams, username, password } = parsed(url)
  const values = [...searchParams.values()].filter((value) => !value.includes('{'))
  return [...fields.flatMap(([, value]) => [value, ...value.split(' ')]), ...values, username, password]
}

function parsed(url: string): URL {
  if (!URL.canParse(url)) {
    // Without the address itself: it may hold a key.
    throw new Fault('BW_CHANNEL', 'the gateway’s url is not an absolute URL', 'write it with https://')
  }
  return new URL(url)
}

function bodyRule({ name, accepted }: GatewayOptions): (answer: HttpAnswer) => boolean {
  const rule = accepted.body
  switch (rule.kind) {
    case 'any':
      return () => true
    case 'json':
      return ({ body }) => {
        const value = valueAt(body, rule.pointer)
        return (
          value !== undefined && rule.is.includes(typeof value === 'string' ? value : JSON.stringify(value))
        )
      }
    case 'matches': {
      const pattern = compiled(name, rule)
      return ({ body }) => pattern.test(body)
    }
  }
}

function compiled(name: string, rule: Extract<AcceptanceRule['body'], { kind: 'matches' }>): RegExp {
  try {
    return new RegExp(rule.pattern)
  } catch (cause) {
    throw new Fault(
      'BW_CHANNEL',
      `channel ${name}: ${errorText(cause)}`,
      'write a JavaScript regular expression',
      {
        cause,
      },
    )
  }
}

/** The value at a JSON Pointer (RFC 6901, 4); undefined when there is none, or the body is no JSON. */
function valueAt(body: string, pointer: string): unknown {
  let value: unknown
  try {
    value = JSON.parse(body)
  } catch {
    return undefined
  }
  for (const token of pointer.split('/').slice(1)) {
    const key = token.replaceAll('~1', '/').replaceAll('~0', '~')
    if (typeof value !== 'object' || value === null || !Object.hasOwn(value, key)) return undefined
    value = (value as Readonly<Record<string, unknown>>)[key]
  }
  return value
}
