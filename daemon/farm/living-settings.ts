import { z } from 'zod'
import { acidity, concentration, feedForArea, temperature, text } from '../units/settings.js'

// Own species and crops, and other figures for those that are known.

const name = (what: string, example: string) => text(/^[a-z][a-z0-9_]*$/, what, example)
const label = z.string().min(1)

export const ownSpecies = z.strictObject({
  id: name('a species', 'red_hybrid').describe(
    'What `fish: { species: … }` calls it; a known one to change its figures.',
  ),
  label: label
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
  label: label
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
