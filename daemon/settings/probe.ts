import type { z } from 'zod'
import { messageShape } from '../decoding/settings.js'
import { trustShape } from '../quality/settings.js'
import { measureIn, type Measure } from '../units/convert.js'
import { quantityNamed } from '../units/quantities.js'
import { misfits, type Misfit } from '../units/settings.js'

/** A probe is what it sends (decoding) and how far it is believed (quality). */
export const probeShape = { ...messageShape, ...trustShape }

type Probe = Partial<z.output<z.ZodObject<typeof probeShape>>>

/** What the keys of one probe ask of one another. */
export const probeMisfits = (probe: Probe, given: ReadonlySet<string>): readonly Misfit[] => [
  ...ofSignal(probe, given),
  ...ofFormat(probe, given),
  ...ofRhythm(given),
  ...ofUnits(probe),
]

function ofSignal({ topic, signal, format }: Probe, given: ReadonlySet<string>): readonly Misfit[] {
  if (format === 'senml' || (given.has('topic') && topic === undefined)) return []
  const open = (part: string) => topic?.includes(`{${part}}`) === true
  const found: Misfit[] = []
  if (!given.has('signal') && !given.has('names') && !(open('place') && open('quantity'))) {
    const wrong =
      topic === undefined ? 'has neither topic nor signal' : 'does not say which signal it carries'
    found.push({
      at: ['topic'],
      wrong,
      right: 'add signal: place/quantity, or write {place} and {quantity} into the topic',
    })
  }
  for (const part of ['place', 'quantity']) {
    if (signal === undefined || signal.includes(`{${part}}`) === open(part)) continue
    const [wrong = '', right = ''] = open(part)
      ? [
          `is one signal, but {${part}} in the topic makes many`,
          `write {${part}} here too, or a name into the topic`,
        ]
      : [`takes {${part}} from a topic that has none`, `write {${part}} into the topic, or a name here`]
    found.push({ at: ['signal'], wrong, right })
  }
  return found
}

function ofFormat({ format, topic }: Probe, given: ReadonlySet<string>): readonly Misfit[] {
  const found: Misfit[] = []
  const note = (key: string, wrong: string, right: string) => found.push({ at: [key], wrong, right })
  if (given.has('names') && !given.has('topic'))
    note('names', 'need the topic that they come on', 'add topic: larkfield/node-7')
  if (given.has('names') && format !== 'senml') note('names', 'are for SenML messages', 'add format: senml')
  if (format === 'senml' && !given.has('names')) {
    note(
      'format',
      'needs the signal of each SenML name',
      'add for example names: { "urn:dev:ow:10e2073a": tank-3/water_temperature }',
    )
  }
  if (topic?.split('/').includes('+') === true && format !== 'senml') {
    note(
      'topic',
      'has a wildcard, which only SenML messages may',
      'write {place} or {quantity} for the level that varies',
    )
  }
  for (const key of ['value', 'time', 'signal']) {
    if (format !== 'senml' || !given.has(key)) continue
    note(key, 'has no meaning in SenML, whose messages say it themselves', 'leave it out')
  }
  if (format === 'number' && given.has('value')) {
    note('value', 'has no meaning in a bare number', 'leave it out, or write format: json')
  }
  return found
}

function ofRhythm(given: ReadonlySet<string>): readonly Misfit[] {
  if (given.has('heartbeat') && !given.has('reports')) {
    return [
      {
        at: ['heartbeat'],
        wrong: 'belongs to reports: on_change',
        right: 'add reports: on_change, or write every',
      },
    ]
  }
  if (given.has('every') && given.has('reports')) {
    return [
      {
        at: ['every'],
        wrong: 'a probe that reports on change has no interval',
        right: 'leave it out, or write heartbeat',
      },
    ]
  }
  return []
}

/** Units that the signal's quantity does not have. Quantities that the keeper declared are left to the plan. */
function ofUnits({ signal = '', unit: sent, plausible }: Probe): readonly Misfit[] {
  const unit = quantityNamed(signal.slice(signal.indexOf('/') + 1))?.unit ?? ''
  if (unit === '') return []
  const convert = (value: Measure) => measureIn(value, unit)
  return [
    ...misfits(['unit'], sent === undefined ? undefined : { value: 1, unit: sent }, convert),
    ...misfits(['plausible', 0], plausible?.[0], convert),
    ...misfits(['plausible', 1], plausible?.[1], convert),
  ]
}
