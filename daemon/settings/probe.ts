import type { z } from 'zod'
import { messageShape } from '../decoding/settings.js'
import { trustShape } from '../quality/settings.js'

/** A probe is what it sends (decoding) and how far it is believed (quality). */
export const probeShape = { ...messageShape, ...trustShape }

type Probe = z.output<z.ZodObject<typeof probeShape>>

/** What the keys of one probe ask of one another. */
export function probeCheck(context: z.core.ParsePayload<Probe>): void {
  const probe = context.value
  const problem = (key: keyof Probe, message: string, right: string) =>
    context.issues.push({ code: 'custom', message, params: { right }, path: [key], input: probe })
  const { topic = '', signal, names, format } = probe
  const open = (part: string) => topic.includes(`{${part}}`)

  if (probe.signal === undefined && names === undefined && !(open('place') && open('quantity'))) {
    const missing =
      probe.topic === undefined ? 'has neither topic nor signal' : 'says not which signal it carries'
    problem('topic', missing, 'add signal: place/quantity, or write a topic with {place} and {quantity}')
  }
  for (const part of ['place', 'quantity'] as const) {
    if (signal?.includes(`{${part}}`) === true && !open(part)) {
      problem(
        'signal',
        `takes {${part}} from a topic that has none`,
        `write {${part}} into the topic, or a name here`,
      )
    }
    if (signal !== undefined && !signal.includes(`{${part}}`) && open(part)) {
      problem(
        'signal',
        `is one signal, but {${part}} in the topic makes many`,
        `write {${part}} here too, or a name into the topic`,
      )
    }
  }
  if (names !== undefined && probe.topic === undefined) {
    problem('names', 'need the topic that they come on', 'add topic: larkfield/node-7')
  }
  if (names !== undefined && format !== 'senml') {
    problem('names', 'are for SenML messages', 'add format: senml')
  }
  if (format === 'senml' && names === undefined && signal === undefined) {
    problem(
      'format',
      'needs the signal of each SenML name',
      'add for example names: { "urn:dev:ow:10e2073a": tank-3/water_temperature }',
    )
  }
  if (format === 'senml' && (probe.value !== undefined || probe.time !== undefined)) {
    problem(
      probe.value === undefined ? 'time' : 'value',
      'has no meaning in SenML, which says itself where value and time stand',
      'leave it out',
    )
  }
  if (format === 'number' && probe.value !== undefined) {
    problem('value', 'has no meaning in a bare number', 'leave it out, or write format: json')
  }
  if (probe.heartbeat !== undefined && probe.reports === undefined) {
    problem('heartbeat', 'belongs to reports: on_change', 'add reports: on_change, or write every')
  }
  if (probe.every !== undefined && probe.reports !== undefined) {
    problem('every', 'a probe that reports on change has no interval', 'leave it out, or write heartbeat')
  }
}
