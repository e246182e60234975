import { topicLengthMax, topicLevelsMax } from './limits.js'

/**
 * Why this is no topic that a message may have here; null when it is one. Rules of MQTT 3.1.1 and 5.0, section 4.7
 * (at least one character, no wildcards, no U+0000), and the ceilings of this room.
 */
export function topicFlaw(topic: string): string | null {
  if (topic === '') return 'the topic is empty'
  if (topic.length > topicLengthMax) return `the topic is longer than ${topicLengthMax} characters`
  if (topic.includes('\0')) return 'the topic contains a null character'
  if (/[+#]/.test(topic)) return 'a wildcard (+ or #) stands in the topic of a message'
  if (levelCount(topic) > topicLevelsMax) return `the topic has more than ${topicLevelsMax} levels`
  return null
}

function levelCount(topic: string): number {
  let levels = 1
  for (let at = topic.indexOf('/'); at >= 0; at = topic.indexOf('/', at + 1)) levels += 1
  return levels
}

/** Why this is no topic filter (MQTT 5.0, 4.7.1): `+` and `#` stand alone in their level, `#` only in the last. */
export function filterFlaw(filter: string): string | null {
  if (filter === '') return 'the topic is empty'
  if (filter.length > topicLengthMax) return `the topic is longer than ${topicLengthMax} characters`
  if (filter.includes('\0')) return 'the topic contains a null character'
  const levels = filter.split('/')
  if (levels.length > topicLevelsMax) return `the topic has more than ${topicLevelsMax} levels`
  if (levels.some((level) => level.length > 1 && /[+#]/.test(level))) return '+ and # must fill a whole level'
  if (levels.slice(0, -1).includes('#')) return '# may only be the last level'
  return null
}

/**
 * Whether a message on `topic` belongs to `filter`. A wildcard in the first level does not reach topics that begin
 * with `$` (MQTT-4.7.2-1); `a/#` also means `a` itself (4.7.1.2).
 */
export const filterMatches = (filter: string, topic: string): boolean =>
  !(topic.startsWith('$') && /^[+#]/.test(filter)) && covers(filter, topic)

/** Whether everything that `narrow` matches is matched by `wide` as well. */
export function covers(wide: string, narrow: string): boolean {
  const wideLevels = wide.split('/')
  const narrowLevels = narrow.split('/')
  for (const [at, level] of wideLevels.entries()) {
    if (level === '#') return narrowLevels.length >= at
    const other = narrowLevels[at]
    if (other === undefined || other === '#') return false
    if (level !== '+' && level !== other) return false
  }
  return wideLevels.length === narrowLevels.length
}

/**
 * The fewest of these filters that together still match everything. Overlapping subscriptions make some brokers send
 * a message once for each (MQTT 5.0, 3.3.4), so none is kept that another one covers.
 */
export function minimalFilters(filters: Iterable<string>): readonly string[] {
  const all = [...new Set(filters)]
  const wild = all.filter((filter) => /[+#]/.test(filter))
  return all.filter((filter) => !wild.some((other) => other !== filter && covers(other, filter))).sort()
}
