import { readdirSync, readFileSync } from 'node:fs'
import { Ajv2020 } from 'ajv/dist/2020.js'
import { describe, expect, it } from 'vitest'
import { parse } from 'yaml'
import { planFarm } from '../../daemon/farm/plan-farm.js'
import { larkfieldProbes, larkfieldTopics } from '../../daemon/practice/larkfield-probes.js'
import { explainedAll } from '../../daemon/settings/explain.js'
import { jsonSchema } from '../../daemon/settings/json-schema.js'
import { loadSettings } from '../../daemon/settings/load.js'

const files = readdirSync('config').filter((file) => file.endsWith('.yaml'))

/** The configuration, which must be one that `run` would take where its secrets are in place. */
function planned(file: string) {
  const text = readFileSync(`config/${file}`, 'utf8')
  const read = loadSettings({ text, file: `config/${file}`, env: {}, readFile: () => 'of this machine' })
  if (read.kind === 'refused') throw new TypeError(explainedAll(read.problems))
  const made = planFarm(read.settings)
  if (made.kind === 'refused') throw new TypeError(explainedAll(read.located(made.problems)))
  return { settings: read.settings, plan: made.plan }
}

describe.each(files)('config/%s', (file) => {
  it('is a good configuration', () => {
    expect(planned(file).plan.signals.size).toBeGreaterThan(0)
  })

  it('names its schema in the first line and fits it', () => {
    const text = readFileSync(`config/${file}`, 'utf8')
    expect(text.split('\n')[0]).toBe('# yaml-language-server: $schema=bellwater.schema.json')
    const fits = validator()
    expect(fits(parse(text)), JSON.stringify(fits.errors, null, 1)).toBe(true)
  })
})

/** `unit` is a word of ours, which editors pass over. */
const validator = () =>
  new Ajv2020({ strict: true, allowUnionTypes: true, keywords: ['unit'] }).compile(jsonSchema())

describe('the JSON Schema', () => {
  it.each([
    'unknown-key-deep',
    'missing-kind',
    'bare-interval',
    'bad-priority',
    'unknown-section',
    'pointer-without-slash',
  ])('refuses %s as the loader does', (name) => {
    const broken: unknown = parse(readFileSync(`tests/fixtures/broken-configs/${name}.yaml`, 'utf8'))
    expect(validator()(broken)).toBe(false)
  })
})

describe('config/minimal.yaml', () => {
  it('is shorter than forty lines', () => {
    expect(readFileSync('config/minimal.yaml', 'utf8').trimEnd().split('\n').length).toBeLessThan(40)
  })
})

describe('config/bellwater.yaml', () => {
  const { settings, plan } = planned('bellwater.yaml')

  it('starts on an empty machine and keeps to itself', () => {
    expect(settings.broker.embedded?.listen).toEqual({ host: '127.0.0.1', port: 1883 })
    expect(settings.web.listen).toEqual({ host: '127.0.0.1', port: 8420 })
    expect(settings.practice).toMatchObject({ enabled: true, speed: 1 })
    expect(Object.values(settings.channels).map(({ kind }) => kind)).toEqual(['folder', 'folder'])
  })

  it('maps every probe of the practice greenhouse', () => {
    const topics = new Set(settings.probes.map(({ topic }) => topic))
    const patterns = settings.probes.flatMap(({ topic }) => (topic?.includes('{') === true ? [topic] : []))
    for (const { signal, topic } of larkfieldProbes(larkfieldTopics)) {
      const [place = '', quantity = ''] = signal.split('/')
      const byPattern = patterns.some(
        (form) => form.replace('{place}', place).replace('{quantity}', quantity) === topic,
      )
      expect(topics.has(topic) || byPattern, topic).toBe(true)
      expect(plan.places.has(place) || plan.equipment.has(place), place).toBe(true)
    }
  })

  it('watches the oxygen of every tank from the first minute', () => {
    const tanks = settings.places
      .filter(({ kind }) => kind === 'tank')
      .map(({ id }) => `${id}/dissolved_oxygen`)
    const heard = settings.probes.map(({ signal }) => signal)
    expect(heard).toEqual(expect.arrayContaining(tanks))
  })

  it('has only numbers and addresses that are nobody’s', () => {
    const text = readFileSync('config/bellwater.yaml', 'utf8') + readFileSync('config/minimal.yaml', 'utf8')
    expect([...text.matchAll(/\+\d[\d ]+/g)].every(([number]) => number.startsWith('+44 7700 900'))).toBe(
      true,
    )
    expect([...text.matchAll(/[\w.]+@([\w.]+)/g)].every(([, host]) => host === 'example.org')).toBe(true)
  })
})
