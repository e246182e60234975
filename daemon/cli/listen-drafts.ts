import { stringify } from 'yaml'
import { draftEntries, type DraftEntry, type Heard } from '../decoding/draft.js'
import type { FarmPlan } from '../farm/plan.js'
import type { Heard as Message } from '../mqtt/hearing.js'
import type { EpochMs } from '../units/time.js'

/** Topics that drafts are made for; more than that is no farm but a flood. */
const topicsMax = 300

export interface DraftBook {
  note(message: Message, at: EpochMs): void
  entries(): readonly DraftEntry[]
}

/** Remembers what came and was not mapped, and makes drafts of it. */
export function draftBook({ places, equipment }: Pick<FarmPlan, 'places' | 'equipment'>): DraftBook {
  const heard = new Map<string, Heard>()
  const placeIds = [...places.keys(), ...equipment.keys()]
  return {
    note({ topic, payload, retained }, at) {
      const before = heard.get(topic)
      if (before === undefined && heard.size >= topicsMax) return
      // A retained message comes when we connect, not when the probe sent it: it says nothing about how often.
      const counted = retained ? 0 : 1
      if (before === undefined) heard.set(topic, { topic, payload, count: counted, firstAt: at, lastAt: at })
      else {
        const firstAt = before.count === 0 ? at : before.firstAt
        heard.set(topic, { topic, payload, count: before.count + counted, firstAt, lastAt: at })
      }
    },
    entries: () =>
      [...heard.values()]
        .sort((a, b) => (a.topic < b.topic ? -1 : 1))
        .flatMap((topic) => draftEntries(topic, placeIds)),
  }
}

/** The drafts as they may stand in a configuration, each with what is only guessed. */
export function draftYaml(entries: readonly DraftEntry[]): string {
  const items = entries.map(({ note, ...entry }) => {
    const lines = stringify([entry], { lineWidth: 0 }).trimEnd().split('\n')
    return [`# ${note.replace(/\s+/g, ' ')}`, ...lines].map((line) => `  ${line}`).join('\n')
  })
  const head =
    '# Drafted by bellwater listen. Look over signal and unit, then move what you want under probes:.'
  return `${head}\nprobes:${items.length === 0 ? ' []' : `\n${items.join('\n')}`}\n`
}
