import { describe, expect, it } from 'vitest'
import { metricsOf, openMetricsType } from '../../daemon/http/metrics.js'
import { createServer } from '../../daemon/http/server.js'
import { calmNight, outage } from '../support/web-farm.js'
import { farmServer } from './farm-server.js'

// Lines as the ABNF of OpenMetrics 1.0 (2020), "Text Format", has them; timestamps and exemplars are not used by us.
const name = '[a-zA-Z_:][a-zA-Z0-9_:]*'
const labelValue = '"(?:[^"\\\\\\n]|\\\\["\\\\n])*"'
const labels = `\\{(?:[a-zA-Z_][a-zA-Z0-9_]*=${labelValue}(?:,[a-zA-Z_][a-zA-Z0-9_]*=${labelValue})*)?\\}`
const number = '(?:[+-]?(?:\\d+(?:\\.\\d*)?(?:e[+-]?\\d+)?|Inf)|NaN)'
const sampleLine = new RegExp(`^(${name})(${labels})? ${number}$`)
const headLine = new RegExp(`^# (TYPE|UNIT|HELP) (${name}) .+$`)

/** Reads the text as a strict collector would; gives each family's type and samples. */
function familiesIn(text: string): Map<string, { type: string; samples: string[] }> {
  expect(text.endsWith('# EOF\n')).toBe(true)
  const families = new Map<string, { type: string; samples: string[] }>()
  let current = ''
  for (const line of text.split('\n').slice(0, -2)) {
    const head = headLine.exec(line)
    if (head !== null) {
      const [, kind, family = ''] = head
      if (kind === 'TYPE') {
        // Families stand together: one that began again would be an error.
        expect(families.has(family)).toBe(false)
        families.set(family, { type: line.split(' ')[3] ?? '', samples: [] })
        current = family
      }
      expect(family).toBe(current)
      if (kind === 'UNIT') expect(family.endsWith(`_${line.split(' ')[3]}`)).toBe(true)
      continue
    }
    const sample = sampleLine.exec(line)
    expect(sample, line).not.toBeNull()
    const family = families.get(current)
    const suffix = family?.type === 'info' ? '_info' : ''
    expect(sample?.[1]).toBe(current + suffix)
    family?.samples.push(line)
  }
  return families
}

describe('figures for collectors', () => {
  it('are OpenMetrics text: families together, labels escaped, ended by # EOF', () => {
    const families = familiesIn(metricsOf(outage, '0.1.0'))
    expect([...families.keys()]).toContain('bellwater_signal_value')
    for (const { samples } of families.values()) expect(new Set(samples).size).toBe(samples.length)
  })

  it('tell a value with its unit, its age and its quality', () => {
    const text = metricsOf(outage, '0.1.0')
    expect(text).toContain(
      'bellwater_signal_value{place="tank-1",quantity="dissolved_oxygen",unit="mg/L"} 3.8\n',
    )
    expect(text).toContain('bellwater_signal_age_seconds{place="tank-2",quantity="water_temperature"} 720\n')
    expect(text).toContain('bellwater_signal_stale{place="tank-2",quantity="water_temperature"} 1\n')
    const bad = '{place="blower-a",quantity="air_pressure",bellwater_signal_quality="bad"} 1\n'
    expect(text).toContain(`bellwater_signal_quality${bad}`)
    expect(text).toContain('bellwater_alarms_held{how="shelved"} 1\n')
  })

  it('stay well formed whatever names and numbers come', () => {
    const [first] = calmNight.signals
    if (first === undefined) throw new Error('the calm night has signals')
    const odd = {
      ...calmNight,
      signals: [
        { ...first, place: 'a"b\\c\nd', value: Number.NaN },
        { ...first, value: Number.POSITIVE_INFINITY },
        { ...first, quantity: 'status', value: 'OL CHRG' },
        { ...first, quantity: 'ph', value: null, at: null },
      ],
    }
    const families = familiesIn(metricsOf(odd, '0.1.0'))
    expect(families.get('bellwater_signal_value')?.samples).toHaveLength(2)
    expect(families.get('bellwater_signal_age_seconds')?.samples).toHaveLength(3)
  })

  it('are served with the type that the specification names', async () => {
    const app = await createServer(farmServer().parts)
    const answer = await app.inject('/metrics')
    expect(answer.headers['content-type']).toBe(openMetricsType)
    familiesIn(answer.body)
    await app.close()
  })
})
