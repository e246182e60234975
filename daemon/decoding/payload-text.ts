import { jsonDepthMax, payloadMax } from './limits.js'

export type Parsed<Value> =
  { readonly kind: 'ok'; readonly value: Value } | { readonly kind: 'flawed'; readonly reason: string }

const ok = <Value>(value: Value): Parsed<Value> => ({ kind: 'ok', value })
const flawed = (reason: string): Parsed<never> => ({ kind: 'flawed', reason })

// A byte order mark is dropped: some devices send one, and JSON.parse would stumble over it.
const utf8 = new TextDecoder('utf-8', { fatal: true })

/** The payload as text: not empty, within the ceiling, valid UTF-8. */
export function payloadText(payload: Uint8Array): Parsed<string> {
  if (payload.length > payloadMax) {
    return flawed(`the payload has ${payload.length} bytes; more than ${payloadMax} are not read`)
  }
  if (payload.length === 0) return flawed('the payload is empty')
  try {
    return ok(utf8.decode(payload))
  } catch {
    return flawed('the payload is no valid UTF-8 text')
  }
}

/** The text as a JSON document (RFC 8259), no deeper than the ceiling. */
export function jsonDocument(text: string): Parsed<unknown> {
  if (isTooDeep(text)) return flawed(`the JSON is nested deeper than ${jsonDepthMax} levels`)
  try {
    return ok(JSON.parse(text) as unknown)
  } catch {
    return flawed(`not JSON: ${excerpt(text)}`)
  }
}

/** Counts brackets outside of strings before anything is built, since the parser itself has no ceiling. */
function isTooDeep(text: string): boolean {
  let depth = 0
  let inString = false
  for (let at = 0; at < text.length; at += 1) {
    const letter = text[at]
    if (inString) {
      if (letter === '\\') at += 1
      else if (letter === '"') inString = false
    } else if (letter === '"') inString = true
    else if (letter === '{' || letter === '[') {
      depth += 1
      if (depth > jsonDepthMax) return true
    } else if (letter === '}' || letter === ']') depth -= 1
  }
  return false
}

/** The beginning of a text for a message or a log: one line, nothing that could steer a terminal. */
export function excerpt(text: string, longest = 40): string {
  const plain = text
    .slice(0, longest * 2)
    .replace(/[\p{C}\p{Zl}\p{Zp}\s]+/gu, ' ')
    .trim()
  return plain.length > longest ? `"${plain.slice(0, longest)}…"` : `"${plain}"`
}
