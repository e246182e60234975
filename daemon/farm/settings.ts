import { z } from 'zod'
import { Fault } from '../errors.js'
import { unitCode } from '../units/convert.js'
import {
  acidity,
  airChanges,
  always,
  altitude,
  area,
  concentration,
  duration,
  feedForArea,
  heatTransfer,
  id,
  level,
  limit,
  limitRange,
  mass,
  oneOrMore,
  period,
  power,
  rule,
  share,
  signal,
  specificSurface,
  temperature,
  text,
  timeOfDay,
  volume,
  volumeInLitres,
  written,
} from '../units/settings.js'
import { equipmentKinds, evidenceNames, placeKinds } from './plan.js'

const refused = (wrong: string, right: string): never => {
  throw new Fault('BW_CONFIG', wrong, right)
}

const timeZone = written({ examples: ['Europe/London'] }, (input) => {
  const right = 'write an IANA name such as Europe/London'
  // An offset has no daylight saving: the roster would be an hour out for half the year.
  if (typeof input !== 'string' || !/^[A-Za-z]/.test(input)) return refused('a time zone is due', right)
  try {
    return new Intl.DateTimeFormat('en', { timeZone: input }).resolvedOptions().timeZone === ''
      ? 'UTC'
      : input
  } catch {
    // Intl's own way to say that there is no such zone.
    return refused('is no time zone', right)
  }
})

const label = z
  .string()
  .min(1)
  .meta({ examples: ['Tank 1'] })

export const farm = z.strictObject({
  name: z
    .string()
    .min(1)
    .max(40)
    .meta({ examples: ['Larkfield'] })
    .describe('Its name, as texts and pages say it.'),
  id: id('larkfield').optional().describe('Its name in topics; made from `name` without it.'),
  time_zone: timeZone.prefault('UTC').describe('IANA name; roster, day and meals are in its time.'),
  latitude: z
    .number()
    .min(-90)
    .max(90)
    .optional()
    .meta({ examples: [52.6] })
    .describe('Degrees north; for the sun.'),
  longitude: z
    .number()
    .min(-180)
    .max(180)
    .optional()
    .meta({ examples: [-1.1] })
    .describe('Degrees east.'),
  altitude: altitude('80 m')
    .prefault('0 m')
    .describe('Height above the sea; sets the air pressure, and so how much oxygen water can hold.'),
  show_units: z.enum(['metric', 'us']).default('metric').describe('Only what people see.'),
})

const fish = z.strictObject({
  species: text(/^[a-z][a-z0-9_]*$/, 'a species', 'nile_tilapia').describe(
    'Brings its limits along; `bellwater check` lists them.',
  ),
  count: z
    .int()
    .min(0)
    .max(10_000_000)
    .meta({ examples: [160] })
    .describe('How many.'),
  mean_mass: mass('240 g').describe('Of one fish.'),
  feed_per_day: mass('900 g').optional().describe('Feed for all of them, a day.'),
  feed_protein: share('36 %').optional().describe('Protein in the feed.'),
  critical_oxygen: concentration('2 mg/L')
    .optional()
    .describe("Below it they die soon; the species' own without it."),
})

/** What only one kind of place has. */
const belongsTo = [
  ['fish', 'tank'],
  ['meals', 'tank'],
  ['media', 'biofilter'],
  ['envelope', 'air'],
] as const

export const place = z
  .strictObject({
    id: id('tank-1').describe('Its name in signals.'),
    kind: z
      .enum(placeKinds)
      .meta({ examples: ['tank'] })
      .describe('What it is.'),
    label: label.optional().describe('What people call it; made from `id` without it.'),
    volume: volume('1.9 m3').optional().describe('Water in it.'),
    surface_area: area('2.4 m2').optional().describe('Water surface; leaks and overflow are found with it.'),
    levels: z
      .strictObject({
        normal: level('90 cm').optional().describe('Where the water stands.'),
        high: level('100 cm').optional().describe('Where it begins to run over.'),
        pump_dry: level('25 cm').optional().describe('Where the pump takes air.'),
      })
      .optional()
      .describe('Heights of water, measured as `water_level` is.'),
    flows_to: oneOrMore(id('sump')).optional().describe('Where its water goes.'),
    fish: fish.optional().describe('A tank without fish brings no alarms of its own.'),
    meals: z
      .array(timeOfDay('08:00'))
      .optional()
      .describe('When they are fed; oxygen then falls without a fault.'),
    media: z
      .strictObject({
        volume: volumeInLitres('120 L').describe('Of the filter media.'),
        specific_surface: specificSurface('500 m2/m3').describe('Surface of the media per volume.'),
      })
      .optional()
      .describe('Of a biofilter.'),
    envelope: z
      .strictObject({
        area: area('310 m2').describe('Roof and walls.'),
        u_value: heatTransfer('4.0 W/(m2.K)').describe('Heat that goes through them.'),
        volume: volume('640 m3').optional().describe('Air inside.'),
        air_changes: airChanges('1.0 /h').optional().describe('How often leaks change it.'),
      })
      .optional()
      .describe('Of the house: its heat loss.'),
    plants: z
      .strictObject({
        crop: text(/^[a-z][a-z0-9_]*$/, 'a crop', 'lettuce').describe('What grows there.'),
        area: area('12 m2').describe('How much of it.'),
      })
      .optional()
      .describe('Of a bed.'),
  })
  .superRefine(
    rule((entry) => {
      const { kind } = entry
      if (kind === undefined) return []
      return belongsTo.flatMap(([key, home]) =>
        entry[key] === undefined || kind === home
          ? []
          : [
              {
                at: [key],
                wrong: `a place of kind ${kind} has no ${key}`,
                right: `put it on a place of kind ${home}`,
              },
            ],
      )
    }),
    always,
  )

const perEvidence = <Value extends z.ZodType>(value: (name: string) => Value) =>
  Object.fromEntries(evidenceNames.map((name) => [name, value(name).optional()])) as {
    [Name in (typeof evidenceNames)[number]]: z.ZodOptional<Value>
  }

export const equipment = z.strictObject({
  id: id('blower-a').describe('Its name; may stand as the place of a signal (blower-a/current).'),
  kind: z
    .enum(equipmentKinds)
    .meta({ examples: ['blower'] })
    .describe('What it is.'),
  label: label.optional().describe('What people call it; made from `id` without it.'),
  serves: oneOrMore(id('tank-1')).optional().describe('Places and equipment that depend on it, or `farm`.'),
  evidence: z
    .strictObject(
      perEvidence((name) => signal(`blower-a/${name}`).describe(`Signal that tells its ${name}.`)),
    )
    .optional()
    .describe('Signals that tell how it runs.'),
  normal: z
    .strictObject(perEvidence((name) => limitRange('1.8 A', '2.6 A').describe(`Usual band of its ${name}.`)))
    .optional()
    .describe('Where each usually lies: a start for learning, never itself an alarm.'),
  rated_power: power('75 W').optional().describe('What its plate says.'),
  set_point: limit('26 Cel').optional().describe('What it is set to hold.'),
  standby_for: id('blower-a').optional().describe('It starts when that one stops.'),
  pauses: z
    .array(
      z.strictObject({
        every: period('1 d').describe('How often.'),
        for: duration('10 min').describe('How long.'),
      }),
    )
    .optional()
    .describe('Times when it stands still by intention: backwash, timers, meals.'),
})

/** A quantity beyond the closed list. */
export const declaredQuantity = z.strictObject({
  name: text(/^[a-z][a-z0-9_]{0,63}$/, 'a name of small letters, digits and _', 'iron').describe(
    'Its name in signals.',
  ),
  unit: written({ examples: ['mg/L'] }, (input) =>
    typeof input === 'string' || input === 1
      ? unitCode(String(input))
      : refused('a unit is due', 'write for example mg/L'),
  ).describe('Unit that it is kept in; 1 for none.'),
  label: z
    .string()
    .min(1)
    .optional()
    .meta({ examples: ['iron'] })
    .describe('As it stands in messages; made from `name` without it.'),
  decimals: z.int().min(0).max(6).default(1).describe('Decimals shown.'),
  possible: limitRange('0 mg/L', '100 mg/L').optional().describe('Outside it a reading cannot be true.'),
})

// Own species and crops, and other figures for those that are known.

const name = (what: string, example: string) => text(/^[a-z][a-z0-9_]*$/, what, example)

export const ownSpecies = z.strictObject({
  id: name('a species', 'red_hybrid').describe(
    'What `fish: { species: … }` calls it; a known one to change its figures.',
  ),
  label: z
    .string()
    .min(1)
    .optional()
    .meta({ examples: ['red hybrid tilapia'] })
    .describe('What people call it; made from `id` without it.'),
  based_on: name('a species', 'nile_tilapia')
    .optional()
    .describe('The known species that gives every figure which is not written here. Required for a new one.'),
  temperature_low: temperature('18 Cel').optional().describe('Limit of `temperature-low`.'),
  temperature_high: temperature('31 Cel').optional().describe('Limit of `temperature-high`.'),
  oxygen_low: concentration('4.5 mg/L').optional().describe('Limit of `oxygen-low`.'),
  oxygen_very_low: concentration('3 mg/L').optional().describe('Limit of `oxygen-very-low`.'),
  critical_oxygen: concentration('2 mg/L')
    .optional()
    .describe('Below it they die soon: what oxygen minutes count down to.'),
  ph_low: acidity(6.2).optional().describe('Limit of `ph-low`.'),
  ph_high: acidity(8.5).optional().describe('Limit of `ph-high`.'),
  unionised_ammonia: concentration('0.04 mg/L')
    .optional()
    .describe('Limit of `ammonia-high`: NH3, counted as nitrogen.'),
  nitrite: concentration('1 mg/L').optional().describe('Limit of `nitrite-high`, counted as nitrogen.'),
})

export const ownCrop = z.strictObject({
  id: name('a crop', 'rocket').describe(
    'What `plants: { crop: … }` calls it; a known one to change its figures.',
  ),
  label: z
    .string()
    .min(1)
    .optional()
    .meta({ examples: ['wild rocket'] })
    .describe('What people call it; made from `id` without it.'),
  based_on: name('a crop', 'spinach')
    .optional()
    .describe('The known crop that gives every figure which is not written here. Required for a new one.'),
  air_low: temperature('0 Cel').optional().describe('Air below which a night does harm.'),
  feed_ratio: feedForArea('45 g/(m2.d)')
    .optional()
    .describe('Feed a day whose nutrients a square metre of it takes up.'),
})
