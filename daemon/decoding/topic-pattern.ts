import { Fault } from '../errors.js'
import { filterFlaw } from './topic.js'

/** A topic taken apart: letters that must be there, or a level that may be anything. */
type Level =
  | { readonly kind: 'fixed'; readonly text: string }
  | { readonly kind: 'any' }
  | { readonly kind: 'named'; readonly name: PlaceholderName }

type PlaceholderName = 'place' | 'quantity'

export interface TopicPattern {
  readonly levels: readonly Level[]
  /** The MQTT topic filter that brings these messages. */
  readonly filter: string
  /** True when it matches one topic only. */
  readonly isExact: boolean
  /** The words in braces that it has. */
  readonly names: ReadonlySet<string>
}

/** What the placeholders stood for in a topic. */
export type Placeholders = Readonly<Partial<Record<PlaceholderName, string>>>

/**
 * Reads a topic with `{place}` and `{quantity}` in whole levels. Throws BW_CONFIG when it breaks the rules of MQTT
 * topics, has another word in braces, or a wildcard where none may be.
 */
export function topicPattern(topic: string, at: string, allowWildcard: boolean): TopicPattern {
  const flaw = filterFlaw(topic)
  if (flaw !== null) throw new Fault('BW_CONFIG', `${at}: topic "${topic}": ${flaw}`)
  const levels = topic.split('/').map((text) => levelOf(text, topic, at))
  if (levels.some((level) => level.kind === 'any') && !allowWildcard) {
    throw new Fault(
      'BW_CONFIG',
      `${at}: topic "${topic}" has a wildcard`,
      'write {place} or {quantity} for the level that varies',
    )
  }
  const named = levels.flatMap((level) => (level.kind === 'named' ? [level.name] : []))
  if (new Set(named).size < named.length) {
    throw new Fault('BW_CONFIG', `${at}: topic "${topic}" has the same word in braces twice`)
  }
  return {
    levels,
    filter: levels.map((level) => (level.kind === 'fixed' ? level.text : '+')).join('/'),
    isExact: levels.every((level) => level.kind === 'fixed'),
    names: new Set(named),
  }
}

function levelOf(text: string, topic: string, at: string): Level {
  if (text === '+') return { kind: 'any' }
  if (text === '#') throw new Fault('BW_CONFIG', `${at}: topic "${topic}" ends in #`, 'write out the levels')
  if (text === '{place}') return { kind: 'named', name: 'place' }
  if (text === '{quantity}') return { kind: 'named', name: 'quantity' }
  if (/[{}]/.test(text)) {
    throw new Fault(
      'BW_CONFIG',
      `${at}: "${text}" in topic "${topic}"`,
      'only {place} and {quantity} may stand in braces, each as a whole level',
    )
  }
  return { kind: 'fixed', text }
}

/** What the placeholders stand for in this topic; null when it does not match. */
export function placeholdersIn(pattern: TopicPattern, levels: readonly string[]): Placeholders | null {
  if (levels.length !== pattern.levels.length) return null
  const found: Partial<Record<PlaceholderName, string>> = {}
  for (const [at, level] of pattern.levels.entries()) {
    const text = levels[at] ?? ''
    if (level.kind === 'fixed' && level.text !== text) return null
    // A wildcard in the first level does not reach $-topics (MQTT-4.7.2-1), so no message could come that way.
    if (level.kind !== 'fixed' && at === 0 && text.startsWith('$')) return null
    if (level.kind === 'named') found[level.name] = text
  }
  return found
}

/** `{place}/dissolved_oxygen` with what the topic said. */
export const filledIn = (template: string, placeholders: Placeholders): string =>
  template.replace(/\{(place|quantity)\}/g, (word, name: PlaceholderName) => placeholders[name] ?? word)
