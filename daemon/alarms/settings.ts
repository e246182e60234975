import { z } from 'zod'
import { differenceIn, measureIn, perMinuteIn } from '../units/convert.js'
import { quantityNamed } from '../units/quantities.js'
import { nearestName } from '../units/nearest-name.js'
import {
  always,
  duration,
  id,
  limit,
  misfits,
  oneOrMore,
  period,
  rateLimit,
  rule,
  signal,
  text,
  type Misfit,
} from '../units/settings.js'
import { priorities, severities } from './rule.js'

/** A signal or several of them: a star stands for any part of a place's name. */
const signals = text(
  /^[a-z0-9*][a-z0-9_*-]*\/[a-z][a-z0-9_]*$/,
  'a signal (place/quantity, * stands for any part of the place)',
  'tank-*/dissolved_oxygen',
)

/** What a two-valued signal or a status may be compared with; true is kept as 1, false as 0. */
const state = z.union([z.number(), z.string().min(1), z.boolean().transform(Number)]).meta({ examples: [0] })

const word = z.union([z.string().min(1), z.number().transform(String)]).meta({ examples: ['OB'] })

const priority = z.enum(priorities).meta({ examples: ['high'] })

const suppressor = z.union([
  z.strictObject({
    signal: signal('blower-a/commanded').describe('Quiet while this signal …'),
    is: state.describe('… is this.'),
  }),
  z.strictObject({
    alarm: text(/^[a-z0-9][a-z0-9_@/-]*$/, 'the id of an alarm', 'mains-lost').describe(
      'Quiet while this alarm is active.',
    ),
  }),
])

const conditionShape = {
  signal: signals.optional().describe('What is judged; with a star, one alarm for each signal that fits.'),
  below: limit('4.5 mg/L').optional().describe('Alarm when the value lies below it; equal does not (AL-1).'),
  above: limit('30 Cel').optional().describe('Alarm when the value lies above it; equal does not (AL-1).'),
  is: state.optional().describe('Alarm when the value is this: 0, 1, on, off, or a word.'),
  rate: rateLimit()
    .optional()
    .describe('Alarm when the value changes faster: +… rising, -… falling, without a sign either way.'),
  words: z
    .strictObject({
      all: oneOrMore(word).describe('Alarm when the status holds all of these words.'),
      returns_on: oneOrMore(word)
        .optional()
        .describe('Over when it holds one of these; without it, when one of `all` is gone.'),
    })
    .optional()
    .describe('For signals of status words (AL-31).'),
  discrepancy: z
    .strictObject({
      commanded: signal('main-pump/commanded').describe('What it should do.'),
      running: signal('main-pump/running').describe('What it does.'),
    })
    .optional()
    .describe('Alarm when the two differ.'),
}

const behaviourShape = {
  deadband: limit('0.4 mg/L')
    .optional()
    .describe('How far inside the limit the value must come back (AL-2). 0 without it.'),
  on_delay: duration('2 min')
    .optional()
    .describe('How long it must be so before the alarm (AL-3). 0 s without it.'),
  off_delay: duration('3 min').optional().describe('How long it must be well again (AL-4). 0 s without it.'),
  priority: priority
    .optional()
    .describe('By hand; needs cause, consequence and response (AL-46). medium without any.'),
  severity: z
    .enum(severities)
    .optional()
    .meta({ examples: ['serious'] })
    .describe('Consequence if nobody acts; gives the priority together with `respond_within` (AL-23).'),
  respond_within: period('15 min').optional().describe('Time in which a response still helps (AL-23).'),
  ladder: id('night').optional().describe('Whom to call; the only ladder, or `system.ladder`, without it.'),
  latching: z.boolean().optional().describe('Stays until it is reset by hand (AL-9). false without it.'),
  follow_up_delay: duration('60 s')
    .optional()
    .describe('How long normal before "returned to normal" is told (AL-8). 60 s without it.'),
  re_alarm: period('30 min')
    .optional()
    .describe(
      "Acknowledged but still so after this time: unacknowledged again (AL-11). The ladder's own without it.",
    ),
  class: z
    .literal('life_support')
    .optional()
    .meta({ examples: ['life_support'] })
    .describe('Cannot be shelved for long nor suppressed by others (AL-13).'),
  lesser_of: id('oxygen-very-low')
    .optional()
    .describe('The more severe alarm of the same quantity, under which this one is quiet (AL-22).'),
  suppressed_while: z
    .array(suppressor)
    .optional()
    .describe('Suppressed by design while one of these holds (AL-14).'),
  release_delay: duration('2 min')
    .optional()
    .describe('How long suppression outlasts its reason (AL-14). 0 s without it.'),
  cause: z.string().min(1).optional().describe('What is probably the matter, in words.'),
  consequence: z.string().min(1).optional().describe('What happens if nobody acts.'),
  response: z.string().min(1).optional().describe('What to do.'),
}

const conditions = ['below', 'above', 'is', 'rate', 'words', 'discrepancy'] as const

/** Alarms that come with species, equipment and the daemon itself; each may be overridden by its id. */
export const builtInAlarms = [
  'oxygen-low',
  'oxygen-very-low',
  'oxygen-minutes-low',
  'temperature-low',
  'temperature-high',
  'ph-low',
  'ph-high',
  'ammonia-high',
  'nitrite-high',
  'level-low',
  'level-high',
  'equipment-fault',
  'mains-lost',
  'battery-low',
  'bad-measurement',
  'node-lost',
  'heat-margin-low',
  'probe-clock',
  'own-trouble',
] as const

/** One entry of `alarms:`. */
export const alarm = z
  .strictObject({
    id: id('oxygen-low').describe('Its name; that of a built-in alarm overrides it.'),
    off: z.literal(true).optional().describe('true turns a built-in alarm off.'),
    ...conditionShape,
    ...behaviourShape,
  })
  .superRefine(
    rule((entry, given) => [...contradictions(entry, given), ...unfitting(entry)]),
    always,
  )

type Entry = Partial<z.output<z.ZodObject<typeof conditionShape & typeof behaviourShape>>> & {
  readonly id?: string
  readonly off?: true | undefined
}

function contradictions(entry: Entry, given: ReadonlySet<string>): readonly Misfit[] {
  const { id: name } = entry
  const said = conditions.filter((condition) => given.has(condition))
  const builtIn = name === undefined || (builtInAlarms as readonly string[]).includes(name)
  const found: Misfit[] = []
  const note = (key: string, wrong: string, right: string) => found.push({ at: [key], wrong, right })
  if (said.length > 1)
    note(said[1] ?? 'id', `an alarm has one condition, not ${said.join(' and ')}`, 'make two of it')
  if (said.length === 0 && !builtIn) {
    const meant = nearestName(name, builtInAlarms)
    const right = `add one of ${conditions.join(', ')}`
    note(
      'id',
      'has no condition, and no built-in alarm has this id',
      meant === null ? right : `did you mean ${meant}?`,
    )
  }
  if (entry.off === true && !builtIn)
    note('off', 'only a built-in alarm can be turned off', 'leave the entry out')
  if (said.some((condition) => condition !== 'discrepancy') && !given.has('signal') && !builtIn) {
    note('id', 'has a limit but no signal', 'add for example signal: tank-*/dissolved_oxygen')
  }
  if (given.has('severity') && !given.has('respond_within')) {
    note(
      'severity',
      'needs the time in which a response still helps',
      'add for example respond_within: 15 min',
    )
  }
  if (given.has('respond_within') && !given.has('severity')) {
    note('respond_within', 'needs the consequence', `add severity: ${severities.join(' or ')}`)
  }
  if (given.has('priority') && given.has('severity')) {
    note('priority', 'is given by hand and by severity', 'leave out priority, or severity and respond_within')
  }
  return found
}

/** Limits in a unit that the signal's quantity does not have. Quantities that the keeper declared are left to the plan. */
function unfitting({ signal: about = '', below, above, deadband, rate }: Entry): readonly Misfit[] {
  const unit = quantityNamed(about.slice(about.indexOf('/') + 1))?.unit ?? ''
  if (unit === '') return []
  return [
    ...misfits(['below'], below, (value) => measureIn(value, unit)),
    ...misfits(['above'], above, (value) => measureIn(value, unit)),
    ...misfits(['deadband'], deadband, (value) =>
      rate === undefined ? differenceIn(value, unit) : perMinuteIn(value, unit),
    ),
    ...misfits(['rate'], rate?.limit, (value) => perMinuteIn(value, unit)),
  ]
}

/** A probe's own alarm, when nothing usable comes from it any more (AL-36). */
export const badMeasurement = z.strictObject({
  off: z.literal(true).optional().describe('true turns it off for this probe.'),
  priority: priority
    .optional()
    .describe("high where it leaves a tank's oxygen unseen, else medium, without it."),
  ladder: id('night').optional().describe('Whom to call.'),
  follow_up_delay: duration('60 s')
    .optional()
    .describe('How long normal before "returned to normal" is told.'),
})

export const group = z.strictObject({
  id: id('oxygen').describe('Name of the group.'),
  alarms: z
    .array(text(/^[a-z0-9*][a-z0-9_*@/-]*$/, 'the id of an alarm', 'oxygen-low'))
    .min(1)
    .describe('Its alarms; the first to come is marked (AL-21).'),
})

export const shelving = z.strictObject({
  maximum: period('4 h').prefault('4 h').describe('Longest time an alarm may be shelved (AL-12).'),
  life_support_maximum: period('60 min').prefault('60 min').describe('The same for life support (AL-13).'),
})
