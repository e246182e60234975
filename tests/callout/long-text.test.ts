import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { longText } from '../../daemon/callout/long-text.js'
import { activation, cold, mains, moment, night, oxygen } from './sample-facts.js'
import { manners, messages } from './arbitrary-facts.js'

describe('mails', () => {
  it('tell an activation with everything that is known', () => {
    const facts = { ...activation(oxygen, [cold]), step: 3, tried: ['First keeper'] }
    const { subject, body } = longText(facts, night)
    expect(subject).toBe('CRITICAL Larkfield tank 1: oxygen 3.8 (limit 4.5 mg/L)')
    expect(body).toBe(`CRITICAL Larkfield tank 1: oxygen

Measured: oxygen 3.8 mg/L, falling
Limit: 4.5 mg/L
Since: 25 Nov 2026, 02:12 (Europe/London)
Time left: about 24 min to 2.0
Likely cause: Blower A lost pressure
What may happen: Fish suffocate within the hour.
What to do: Look at the blowers. Start the spare air pump. Stop feeding.

Also:
- MEDIUM house: air temperature 4.2 (limit 5.0 C) since 02:12 (49)

This is step 3 of the call-out.
Called before, without an answer: First keeper

To say that you have seen it, reply OK 47 to the text, or use the page. It stops the calls for this alarm only.

Safety: water and electricity. Switch off at the supply before you touch a machine, plug or cable that is wet or stands in water.

Bellwater informs people. It does not replace an independent low-oxygen alarm, an electrician, a veterinarian or local codes.
`)
  })
  it('warn of a generator’s exhaust when the supply is gone, and not of water when nothing is wet', () => {
    const { body } = longText(activation(mains), night)
    expect(body).toContain('carbon monoxide')
    expect(body).not.toContain('water and electricity')
    expect(longText(activation({ ...cold, mode: null }), night).body).not.toContain('Safety')
  })
  it('keep their accents in Spanish', () => {
    const { subject, body } = longText(activation(oxygen), { ...night, language: 'es' })
    expect(subject).toBe('CRÍTICA Larkfield tank 1: oxígeno 3.8 (límite 4.5 mg/L)')
    expect(body).toContain('Causa probable: Blower A perdió presión')
  })
  it('tell in a follow-up how long it lasted', () => {
    const returnedAt = moment('2026-11-25T03:10:00Z')
    const { subject, body } = longText(
      { kind: 'follow-up', farm: 'Larkfield', alarm: mains, also: [cold], returnedAt },
      night,
    )
    expect(subject).toBe('Larkfield mains: back to normal at 03:10 (was 48)')
    expect(body).toContain('Since: 25 Nov 2026, 02:12 (Europe/London); 58 min')
    expect(body).toContain('- house air temperature (49)')
  })
  it('list every alarm of a digest', () => {
    const alarms = Array.from({ length: 30 }, (_, index) => ({ ...cold, number: 100 + index }))
    const { body } = longText(
      { kind: 'digest', farm: 'Larkfield', alarms, closing: false, activations: 30 },
      night,
    )
    for (const { number } of alarms) expect(body).toContain(`(${number})`)
  })
  it('never let a name break a subject or a paragraph', () => {
    const { subject, body } = longText(
      activation({ ...oxygen, where: 'tank\r\nBcc: all@example.org' }),
      night,
    )
    expect(subject).not.toMatch(/[\r\n]/)
    expect(body).not.toMatch(/^Bcc/m)
  })
  it('always have one line of subject, and a body that says what Bellwater is not', () => {
    fc.assert(
      fc.property(messages, manners, (facts, manner) => {
        const { subject, body } = longText(facts, manner)
        expect(subject).toMatch(/^\P{Cc}{1,120}$/u)
        expect(body).toMatch(/Bellwater inform[^]*\n$/)
        if (facts.kind === 'activation') expect(body).toContain(`OK ${facts.alarm.number} `)
      }),
      { numRuns: 1000 },
    )
  })
})
