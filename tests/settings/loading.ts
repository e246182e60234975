import { loadSettings, type Loaded, type Refused, type Source } from '../../daemon/settings/load.js'
import { explained } from '../../daemon/settings/explain.js'

/** Loads a text with nothing outside it, unless given. */
export const load = (text: string, outside: Partial<Omit<Source, 'text'>> = {}): Loaded | Refused =>
  loadSettings({ text, file: 'x.yaml', env: {}, readFile: noFiles, ...outside })

const noFiles = (name: string): never => {
  throw new TypeError(`no file ${name} in this test`)
}

/** The configuration, which must be a good one. */
export function loaded(text: string, outside: Partial<Omit<Source, 'text'>> = {}): Loaded {
  const read = load(text, outside)
  if (read.kind === 'refused') throw new TypeError(read.problems.map(explained).join('\n'))
  return read
}

/** What is said about a configuration; nothing about a good one. */
export function said(text: string, outside: Partial<Omit<Source, 'text'>> = {}): readonly string[] {
  const read = load(text, outside)
  return read.kind === 'refused' ? read.problems.map(explained) : []
}

export const farm = 'farm: { name: Larkfield, time_zone: Europe/London }\n'
