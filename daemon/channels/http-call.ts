import type { Sent } from '../ports/channel.js'
import { outcome } from './detail.js'

export interface HttpRequest {
  readonly url: string
  readonly method: string
  readonly headers: Readonly<Record<string, string>>
  readonly body: string | null
}

export interface HttpAnswer {
  readonly status: number
  readonly retryAfter: string | null
  /** Its first 64 KiB. */
  readonly body: string
}

// An answer to a text is a line or two; what a broken server sends beyond is not read.
const bodyMax = 65_536

/** One HTTP request. A redirect is an answer like any other: a secret in the headers follows nobody. Rejects when there is no answer. */
export async function httpCall(request: HttpRequest, signal: AbortSignal): Promise<HttpAnswer> {
  const { url, method, headers, body } = request
  const response = await fetch(url, { method, headers, body, signal, redirect: 'manual' })
  return {
    status: response.status,
    retryAfter: response.headers.get('retry-after'),
    body: await firstOf(response),
  }
}

async function firstOf(response: Response): Promise<string> {
  if (response.body === null) return ''
  const decoder = new TextDecoder()
  let text = ''
  let read = 0
  for await (const chunk of response.body as AsyncIterable<Uint8Array>) {
    read += chunk.byteLength
    text += decoder.decode(chunk, { stream: true })
    // Leaving the loop cancels the rest.
    if (read >= bodyMax) break
  }
  return text
}

/**
 * What a status outside the accepted range means: 408, 425, 429 and 5xx may be better later (RFC 9110, 15.5.9 and 15.6;
 * RFC 8470, 5.2; RFC 6585, 4), anything else will not.
 */
export function httpRefusal(answer: HttpAnswer, secrets: readonly string[]): Sent {
  const { status, retryAfter, body } = answer
  const isTemporary = status >= 500 || status === 408 || status === 425 || status === 429
  const later = retryAfter === null ? '' : ` (retry after ${retryAfter})`
  const what = status === 401 || status === 403 ? 'refuses our credentials' : 'refuses'
  return outcome(
    isTemporary ? 'temporary' : 'permanent',
    `the server ${what}: HTTP ${status}${later} ${body}`,
    secrets,
  )
}
