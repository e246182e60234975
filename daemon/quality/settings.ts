import { z } from 'zod'
import { duration, limit, limitRange, period } from '../units/settings.js'

const readingTests = z.strictObject({
  user_range: limitRange('2 mg/L', '16 mg/L')
    .optional()
    .describe('Outside it a reading is uncertain (QARTOD test 4, user span).'),
  spike: z
    .strictObject({
      suspect: limit('2 mg/L').describe('Above it uncertain.'),
      fail: limit('4 mg/L').describe('Above it bad.'),
    })
    .optional()
    .describe('Distance of a reading from the mean of its neighbours (QARTOD test 6).'),
  rate: limit('1 mg/L/min').optional().describe('A faster change makes a reading uncertain (QARTOD test 7).'),
  flat_line: z
    .strictObject({
      suspect: z.int().min(2).max(10_000).default(3).describe('So many equal readings are uncertain.'),
      fail: z.int().min(2).max(10_000).default(5).describe('So many equal readings are bad.'),
      within: limit('0.01 mg/L').describe('Equal means within this of one another.'),
    })
    .optional()
    .describe('Readings that do not move any more (QARTOD test 8).'),
})

/** How far a probe is believed. */
export const trustShape = {
  every: period('30 s')
    .optional()
    .describe('How often it publishes. 60 s without it, unless `reports: on_change`.'),
  reports: z
    .literal('on_change')
    .optional()
    .meta({ examples: ['on_change'] })
    .describe(
      'It publishes only when something changes; silence then means nothing, unless `heartbeat` is set.',
    ),
  heartbeat: period('1 h').optional().describe('Longest silence of a probe that reports on change.'),
  stale_time: period('2 min')
    .optional()
    .describe(
      'Age at which the last reading counts no more. 3 × `every` (or `heartbeat`), at least 2 min, without it (AL-16).',
    ),
  late_limit: duration('60 s')
    .prefault('60 s')
    .describe(
      "Measured longer ago than this beyond the probe's usual lag: stored, not judged as now (AL-17).",
    ),
  future_limit: duration('2 min')
    .prefault('2 min')
    .describe('Measured further in our future than this: uncertain (AL-17).'),
  response_time: period('35 s')
    .optional()
    .describe(
      'Time in which the probe shows 63 % of a change; a third of what makers call 95 %. For oxygen minutes; 35 s without it.',
    ),
  plausible: limitRange('0 mg/L', '25 mg/L')
    .optional()
    .describe("Outside it a reading is bad; the quantity's own limits of the possible hold besides."),
  tests: z
    .union([z.literal('off'), readingTests])
    .optional()
    .describe('Further tests of each reading (QARTOD). None without it.'),
}
