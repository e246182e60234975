import { z } from 'zod'
import { alarm, badMeasurement, group, shelving } from '../alarms/settings.js'
import { chattering, day, flood, ladder, person, system, turn } from '../callout/settings.js'
import { channel } from '../channels/settings.js'
import { declaredQuantity, equipment, farm, ownCrop, ownSpecies, place } from '../farm/settings.js'
import { web } from '../http/settings.js'
import { lookout } from '../lookout/settings.js'
import { broker } from '../mqtt/settings.js'
import { practice } from '../practice/settings.js'
import { store } from '../storage/settings.js'
import { log } from '../system/settings.js'
import { always, id, rule } from '../units/settings.js'
import { minutes } from '../units/time.js'
import { probeMisfits, probeShape } from './probe.js'

const probe = z
  .strictObject({
    ...probeShape,
    bad_measurement: badMeasurement.optional().describe("The probe's own alarm."),
  })
  .superRefine(rule(probeMisfits), always)
  .transform(({ every, ...rest }) => ({
    ...rest,
    /** Null when it publishes only what changes. */
    every: every ?? (rest.reports === undefined ? minutes(1) : null),
  }))

/**
 * The whole configuration: the only source of its types, of the JSON Schema and of the reference page. Strict
 * throughout: an unknown key is an error.
 *
 * Checked here and in `references.ts` is what needs no knowledge of the farm: forms, dimensions, ranges, ids used
 * twice, and the names that people, roster, ladders and channels use of one another. What needs species, quantities
 * or expanded globs (`serves`, signals, limits, `lesser_of`, `suppressed_while`, `groups`) is checked when the farm is
 * planned.
 */
export const settingsSchema = z.strictObject({
  farm: farm.describe('The site.'),
  broker: broker.prefault({}).describe('Where readings come from (MQTT 3.1.1 or 5).'),
  store: store.prefault({}).describe('Where everything is kept.'),
  places: z.array(place).default([]).describe('Tanks, beds, the house: all that signals are about.'),
  species: z
    .array(ownSpecies)
    .default([])
    .describe('Own kinds of fish, and other figures for the known ones.'),
  crops: z.array(ownCrop).default([]).describe('Own crops, and other figures for the known ones.'),
  quantities: z.array(declaredQuantity).default([]).describe('What is measured beyond the closed list.'),
  probes: z.array(probe).default([]).describe('What publishes, and how it is read.'),
  equipment: z
    .array(equipment)
    .default([])
    .describe('Pumps, blowers, heaters, supplies, and what tells how they run.'),
  alarms: z
    .array(alarm)
    .default([])
    .describe('Added to, or overriding by id, what species and equipment bring along.'),
  groups: z.array(group).default([]).describe('Alarms of which the first to come is marked (AL-21).'),
  people: z.array(person).default([]).describe('Who can be called.'),
  roster: z.array(turn).default([]).describe('Who is on duty when; everyone always, without it.'),
  ladders: z.record(id('night'), ladder).default({}).describe('Whom to call, in which order.'),
  channels: z
    .record(id('text'), channel)
    .default({})
    .describe('How calls reach people; what is missing goes to the outbox folder.'),
  system: system.prefault({}).describe('Alarms about Bellwater itself.'),
  shelving: shelving.prefault({}).describe('How long alarms may be shelved.'),
  chattering: chattering.prefault({}).describe('Alarms that come and go too fast (AL-19); off turns it off.'),
  flood: flood.prefault({}).describe('More alarms than one person can answer (AL-20); off turns it off.'),
  day: day.prefault({}).describe('When medium alarms call at once (AL-24).'),
  web: web.prefault({}).describe('The pages.'),
  lookout: lookout.prefault({}).describe('Being watched from another machine, and watching.'),
  practice: practice.prefault({}).describe('The practice greenhouse.'),
  log: log.prefault({}).describe("The daemon's own log."),
})

/** Everything that a configuration says, checked, with defaults, in canonical units where those are fixed. */
export type Settings = z.output<typeof settingsSchema>

export type SpeciesSettings = Settings['species'][number]
export type CropSettings = Settings['crops'][number]
export type ProbeSettings = Settings['probes'][number]
export type AlarmSettings = Settings['alarms'][number]
export type PlaceSettings = Settings['places'][number]
export type EquipmentSettings = Settings['equipment'][number]
export type PersonSettings = Settings['people'][number]
export type LadderSettings = Settings['ladders'][string]
