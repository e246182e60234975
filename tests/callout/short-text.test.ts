import { describe, expect, it } from 'vitest'
import type { AlarmFacts, MessageFacts } from '../../daemon/callout/message-facts.js'
import { septetLength } from '../../daemon/callout/gsm7.js'
import { shortText } from '../../daemon/callout/short-text.js'
import { activation, cold, mains, moment, night, oxygen } from './sample-facts.js'

const spanish = { ...night, language: 'es' }
const measuring = (alarm: AlarmFacts, change: Partial<NonNullable<AlarmFacts['measured']>>): AlarmFacts => ({
  ...alarm,
  measured: alarm.measured === null ? null : { ...alarm.measured, ...change },
})

describe('the text of an activation (contract 6, AL-33)', () => {
  it('is the example of the contract when nothing is said of what to do', () => {
    const text = shortText(activation({ ...oxygen, response: null }), night)
    expect(text).toBe(
      'CRITICAL Larkfield tank 1: oxygen 3.8 (limit 4.5 mg/L) since 02:12, falling, about 24 min to 2.0. Blower A lost pressure. Reply OK 47',
    )
    expect(septetLength(text)).toBe(133)
  })
  it('adds the first sentences of the response where there is room', () => {
    expect(shortText(activation(oxygen), night)).toBe(
      'CRITICAL Larkfield tank 1: oxygen 3.8 (limit 4.5 mg/L) since 02:12, falling, about 24 min to 2.0. Blower A lost pressure. Look at the blowers. Reply OK 47',
    )
  })
  it('speaks Spanish, without the accents that the alphabet lacks', () => {
    expect(shortText(activation({ ...oxygen, response: null }), spanish)).toBe(
      'CRITICA Larkfield tank 1: oxigeno 3.8 (limite 4.5 mg/L) desde 02:12, bajando, unos 24 min hasta 2.0. Blower A perdio presion. Responda OK 47',
    )
  })
  it('tells consequences inside their cause, as many as fit, and how many more', () => {
    const also = [oxygen, { ...oxygen, where: 'tank 2' }, cold, cold, cold]
    expect(shortText(activation(mains, also), night)).toBe(
      'HIGH Larkfield mains: lost since 02:12. Also tank 1 oxygen 3.8 mg/L, tank 2 oxygen 3.8 mg/L, house air temperature 4.2 C and 2 more. Reply OK 48',
    )
  })
  it('shortens names in their middle before it gives up anything of what happened, and the trend before the cause', () => {
    const long = { ...oxygen, where: 'Northern greenhouse nursery tank 12' }
    const facts = { ...activation(long), farm: 'Larkfield community farm', tried: ['First keeper'] }
    expect(shortText(facts, night)).toBe(
      'CRITICAL Larkfield community farm Northern tank 12: oxygen 3.8 (limit 4.5 mg/L) since 02:12, falling, about 24 min to 2.0. Blower A lost pressure. Reply OK 47',
    )
    expect(shortText(facts, spanish)).toBe(
      'CRITICA Larkfield community farm Northern tank 12: oxigeno 3.8 (limite 4.5 mg/L) desde 02:12, unos 24 min hasta 2.0. Blower A perdio presion. Responda OK 47',
    )
  })
  it('says that it is so still, that it comes and goes, and who did not answer', () => {
    const facts = {
      ...activation({ ...oxygen, response: null, likely: null }),
      again: true,
      tried: ['First keeper'],
    }
    expect(shortText(facts, night)).toBe(
      'CRITICAL STILL Larkfield tank 1: oxygen 3.8 (limit 4.5 mg/L) since 02:12, falling, about 24 min to 2.0. No answer from First keeper. Reply OK 47',
    )
    expect(shortText({ ...facts, again: false, tried: [], chattering: true }, night)).toContain(
      ', comes and goes',
    )
  })
  it('speaks in the farm’s units', () => {
    expect(shortText(activation(cold), { ...night, showUnits: 'us' })).toContain(
      'air temperature 39.6 (limit 41.0 F)',
    )
  })
  it('never says that a value equals the limit it has passed', () => {
    expect(shortText(activation(measuring(oxygen, { value: 4.46 })), night)).toContain(
      'oxygen 4.46 (limit 4.50 mg/L)',
    )
  })
  it('tells words, switches and missing readings', () => {
    expect(shortText(activation(measuring(oxygen, { value: null })), night)).toContain(
      'oxygen no reading since',
    )
    expect(
      shortText(activation({ ...measuring(oxygen, { value: null }), mode: 'unplugged' }), night),
    ).toContain('oxygen probe unplugged since')
    expect(
      shortText(activation(measuring(oxygen, { quantity: 'present', unit: '1', value: 0, limit: 0 })), night),
    ).toContain('supply off since')
    expect(
      shortText(
        activation(measuring(oxygen, { quantity: 'status', unit: '', value: 'OB LB', limit: null })),
        night,
      ),
    ).toContain('status OB LB since')
  })
  it('tells in which way a value is wrong that has no limit', () => {
    const fast = { ...measuring(oxygen, { limit: null }), mode: 'changing_fast' }
    expect(shortText(activation(fast), night)).toContain(
      'oxygen 3.8 mg/L, changing fast since 02:12, falling',
    )
    const odd = measuring(oxygen, { quantity: 'running', unit: '1', value: 0, limit: null, trend: 'unknown' })
    expect(shortText(activation({ ...odd, where: 'Blower A', mode: 'not_as_commanded' }), night)).toContain(
      'Blower A: running off, does not do as commanded since 02:12',
    )
  })
  it('names the day when it began earlier than last night', () => {
    const since = moment('2026-11-23T02:12:00Z')
    expect(shortText(activation({ ...oxygen, since }), night)).toContain('since Mon 02:12')
  })
})

describe('the other texts', () => {
  const farm = 'Larkfield'
  const from = moment('2026-11-25T00:12:00Z')
  const to = moment('2026-11-25T01:40:00Z')
  const returnedAt = moment('2026-11-25T03:10:00Z')
  const cases: readonly (readonly [MessageFacts, english: string, inSpanish: string])[] = [
    [
      {
        kind: 'follow-up',
        farm,
        alarm: measuring(oxygen, { value: 6.1, limit: null }),
        also: [],
        returnedAt,
      },
      'Larkfield tank 1: oxygen back to normal at 03:10, 6.1 mg/L (was 47)',
      'Larkfield tank 1: oxigeno de nuevo normal a las 03:10, 6.1 mg/L (era 47)',
    ],
    [
      { kind: 'follow-up', farm, alarm: mains, also: [oxygen, cold], returnedAt },
      'Larkfield mains: back to normal at 03:10 (was 48). Over too: tank 1 oxygen, house air temperature.',
      'Larkfield mains: de nuevo normal a las 03:10 (era 48). También: tank 1 oxigeno, house temperatura del aire.',
    ],
    [
      { kind: 'digest', farm, alarms: [mains, cold], closing: false, activations: 6 },
      'Larkfield: 2 alarms: HIGH mains lost (48); MEDIUM house air temperature 4.2 C (49).',
      'Larkfield: 2 alarmas: ALTA mains sin servicio (48); MEDIA house temperatura del aire 4.2 C (49).',
    ],
    [
      { kind: 'digest', farm, alarms: [cold], closing: true, activations: 9 },
      'Larkfield: many alarms at once, now over: 9 in all: MEDIUM house air temperature 4.2 C (49).',
      'Larkfield: fin de la avalancha de alarmas: 9 en total: MEDIA house temperatura del aire 4.2 C (49).',
    ],
    [
      {
        kind: 'chattering',
        farm,
        alarm: measuring(oxygen, { value: 6.1, limit: null }),
        activations: 14,
        over: true,
      },
      'Larkfield tank 1: oxygen no longer comes and goes, 14 times, 6.1 mg/L (was 47)',
      'Larkfield tank 1: oxigeno ya no va y viene, 14 veces, 6.1 mg/L (era 47)',
    ],
    [
      { kind: 'test', farm, number: 50 },
      'TEST Larkfield: only a test of the calls, nothing is wrong. Please reply OK 50',
      'PRUEBA Larkfield: solo una prueba de las llamadas, no pasa nada. Por favor responda OK 50',
    ],
    [
      { kind: 'interruption', farm, from, to, alarms: [oxygen] },
      'Larkfield: not watched from 00:12 to 01:40. 1 alarm open: CRITICAL tank 1 oxygen 3.8 mg/L (47).',
      'Larkfield: sin vigilancia de 00:12 a 01:40. 1 alarma abierta: CRITICA tank 1 oxigeno 3.8 mg/L (47).',
    ],
    [
      { kind: 'interruption', farm, from, to, alarms: [] },
      'Larkfield: not watched from 00:12 to 01:40. No alarm open now.',
      'Larkfield: sin vigilancia de 00:12 a 01:40. Ninguna alarma abierta ahora.',
    ],
    [
      {
        kind: 'out-of-service-reminder',
        farm,
        alarm: oxygen,
        until: moment('2026-11-24T10:00:00Z'),
        by: 'First keeper',
      },
      'Larkfield tank 1: alarm for oxygen still out of service, planned until Tue 10:00 by First keeper',
      'Larkfield tank 1: la alarma de oxigeno sigue fuera de servicio, prevista hasta mar 10:00 por First keeper',
    ],
    [
      {
        kind: 'out-of-service-reminder',
        farm,
        alarm: { ...mains, mode: 'normal' },
        until: returnedAt,
        by: 'First keeper',
      },
      'Larkfield mains: alarm still out of service, planned until 03:10 by First keeper',
      'Larkfield mains: la alarma sigue fuera de servicio, prevista hasta 03:10 por First keeper',
    ],
    [
      { kind: 'morning', farm, alarms: [cold] },
      'Larkfield: this morning 1 alarm: MEDIUM house air temperature 4.2 C (49).',
      'Larkfield: esta mañana 1 alarma: MEDIA house temperatura del aire 4.2 C (49).',
    ],
  ]
  it.each(cases)('%#: $kind', (facts, english, inSpanish) => {
    expect(shortText(facts, night)).toBe(english)
    expect(shortText(facts, spanish)).toBe(inSpanish)
  })
  it('tells in a long list how many are left out, and shortens all names before it leaves one out', () => {
    const alarms = Array.from({ length: 12 }, (_, index) => ({ ...cold, number: 50 + index }))
    const text = shortText({ kind: 'morning', farm, alarms }, night)
    expect(text).toMatch(
      /^Larkfield: this morning 12 alarms: MEDIUM house air 4\.2 C \(50\).* and \d+ more\.$/,
    )
    const named = text.match(/\(\d+\)/g)?.length ?? 0
    expect(text).toContain(`and ${12 - named} more`)
  })
})
