import { z } from 'zod'
import { Fault } from '../errors.js'
import {
  always,
  duration,
  id,
  oneOrMore,
  period,
  rule,
  text,
  timeOfDay,
  written,
  type Misfit,
} from '../units/settings.js'

const refused = (wrong: string, right: string): never => {
  throw new Fault('BW_CONFIG', wrong, right)
}

/** Where people can be reached without a channel of that name: the outbox takes it until there is one. */
export const wellKnownChannels = ['text', 'email', 'push'] as const

const channelName = id('text')

/** E.164 numbers have at most 15 digits, the country code first; spaces are for people. */
const phone = /^\+[1-9][\d ]{6,22}$/
const mailbox = /^[^\s@]+@[^\s@]+$/

const address = z
  .string()
  .min(1)
  .meta({ examples: ['+44 7700 900101'] })

const reach = z.record(channelName, address).superRefine(
  rule(({ text: number, email }) => {
    const found: Misfit[] = []
    if (number !== undefined && (!phone.test(number) || number.replace(/\D/g, '').length > 15)) {
      const right = 'write for example "+44 7700 900101"'
      found.push({ at: ['text'], wrong: 'is no phone number in international form', right })
    }
    if (email !== undefined && !mailbox.test(email)) {
      found.push({ at: ['email'], wrong: 'is no mail address', right: 'write for example first@example.org' })
    }
    return found
  }),
  always,
)

export const person = z.strictObject({
  id: id('first-keeper').describe('Their name in rosters, ladders and the journal.'),
  name: z
    .string()
    .min(1)
    .meta({ examples: ['First keeper'] })
    .describe('As people say it.'),
  language: text(/^[A-Za-z]{2,8}(-[A-Za-z0-9]{1,8})*$/, 'a language tag (BCP 47)', 'en')
    .prefault('en')
    .describe('Language of their messages (BCP 47); English where there are no words for it.'),
  show_units: z
    .enum(['metric', 'us'])
    .optional()
    .meta({ examples: ['metric'] })
    .describe("Units of their messages; the farm's without it."),
  role: z
    .enum(['keeper', 'hand', 'guest'])
    .default('keeper')
    .describe('keeper may change settings, hand may acknowledge and enter, guest may look.'),
  reach: reach
    .prefault({})
    .describe('Their address on each channel: text, email, push, or a channel of yours.'),
})

const weekdays = ['monday', 'tuesday', 'wednesday', 'thursday', 'friday', 'saturday', 'sunday']
const minutesADay = 24 * 60

/** A moment of the week, kept as minutes since Monday 00:00 local time. */
const momentOfWeek = (example: string) =>
  written({ examples: [example] }, (input) => {
    const right = `write for example ${example} (Mon, Tue, Wed, Thu, Fri, Sat, Sun)`
    const parts = typeof input === 'string' ? /^([A-Za-z]+)\s+(\d{1,2}):(\d{2})$/.exec(input.trim()) : null
    if (parts === null) return refused('is no moment of the week', right)
    const [, said = '', hour, minute] = parts
    const day = weekdays.findIndex((name) => said.length >= 3 && name.startsWith(said.toLowerCase()))
    if (day < 0) return refused(`${said} is no day of the week`, right)
    if (Number(minute) > 59 || Number(hour) > 23)
      return refused(`${hour}:${minute} is no time of the day`, right)
    return day * minutesADay + Number(hour) * 60 + Number(minute)
  })

export const turn = z.strictObject({
  from: momentOfWeek('Mon 20:00').describe('Begin, farm time.'),
  to: momentOfWeek('Fri 08:00').describe('End; from a moment to itself is the whole week.'),
  who: oneOrMore(id('first-keeper')).describe('Who is on duty.'),
})

const after = duration('5 min').prefault('0 min').describe('Time from the activation of the alarm.')

const step = z.union([
  z.strictObject({
    after,
    call: id('on-duty').describe("on-duty, everyone, or a person's id."),
    by: oneOrMore(channelName).describe('Channels, tried one after another (AL-43).'),
  }),
  z.strictObject({
    after,
    switch_on: id('siren').describe('A channel of kind mqtt: siren, lamp.'),
  }),
])

export const ladder = z.strictObject({
  steps: z
    .array(step)
    .min(1)
    .check((context) => {
      context.value.forEach(({ after: due }, index) => {
        const before = context.value[index - 1]
        if (before === undefined || due >= before.after) return
        const right = 'put the steps in order of time'
        const message = 'comes before the step above it'
        context.issues.push({
          code: 'custom',
          message,
          params: { right },
          path: [index, 'after'],
          input: context.value,
        })
      })
    })
    .describe('What happens, in order of time, until someone acknowledges (AL-25).'),
  repeat: z
    .strictObject({
      every: period('10 min')
        .prefault('10 min')
        .describe('After the last step, all are called again this often.'),
      times: z.int().min(0).max(1000).default(3).describe('How many times; 0 means none.'),
    })
    .prefault({})
    .describe('Calling again after the last step.'),
  re_alarm: period('30 min')
    .optional()
    .describe('Acknowledged but still so after this time: it becomes unacknowledged again (AL-11).'),
})

const chatteringOn = z.strictObject({
  activations: z.int().min(2).max(1000).default(3).describe('So many activations …'),
  within: period('60 s').prefault('60 s').describe('… within this time are chattering.'),
  over_after: period('10 min').prefault('10 min').describe('Over when this long without an activation.'),
})

/** AL-19, AL-39 */
export const chattering = z.union([z.literal('off'), chatteringOn])

const floodOn = z
  .strictObject({
    start_above: z
      .int()
      .min(1)
      .max(1000)
      .default(5)
      .describe('More activations than this in the window begin a flood.'),
    end_below: z.int().min(1).max(1000).default(2).describe('Fewer than this end it.'),
    window: period('10 min').prefault('10 min').describe('The time in which activations are counted.'),
    digest_every: period('5 min').prefault('5 min').describe('How often the rest is told together.'),
  })
  .superRefine(
    rule(({ start_above: start, end_below: end }) =>
      start === undefined || end === undefined || end <= start
        ? []
        : [
            {
              at: ['end_below'],
              wrong: 'lies above start_above: no flood would last',
              right: 'write for example start_above: 5, end_below: 2',
            },
          ],
    ),
    always,
  )

/** AL-20, AL-38 */
export const flood = z.union([z.literal('off'), floodOn])

/** AL-24 */
export const day = z
  .strictObject({
    from: timeOfDay('07:00')
      .prefault('07:00')
      .describe('From then, medium alarms call and the morning digest is sent.'),
    to: timeOfDay('21:00').prefault('21:00').describe('From then, medium alarms wait for the morning.'),
  })
  .superRefine(
    rule(({ from, to }) =>
      from === undefined || to === undefined || from < to
        ? []
        : [
            {
              at: ['to'],
              wrong: 'the day ends before it begins',
              right: 'write for example from: "07:00", to: "21:00"',
            },
          ],
    ),
    always,
  )

/** Alarms about Bellwater itself. */
export const system = z.strictObject({
  ladder: id('night')
    .optional()
    .describe('Whom to call for own troubles, and for alarms that name no ladder.'),
  follow_up_delay: duration('60 s')
    .prefault('60 s')
    .describe('How long well before "returned to normal" is told.'),
  interruption_told_after: duration('2 min')
    .prefault('2 min')
    .describe('Interruptions of the watch that lasted longer are told at the start (AL-44).'),
  priority: z
    .enum(['low', 'medium', 'high', 'critical'])
    .default('high')
    .describe('Priority of own troubles.'),
})
