import { z } from 'zod'
import { always, duration, period, rule, secret, secretFile, url } from '../units/settings.js'

const kept = (usual: string) => z.union([z.literal('forever'), period(usual)]).prefault(usual)

const name = (example: string) =>
  z
    .string()
    .min(1)
    .optional()
    .meta({ examples: [example] })

const influxdb = z
  .strictObject({
    url: url(['http', 'https'], 'http://influx.lan:8086').describe('Its address.'),
    version: z.literal([1, 2, 3]).default(2).describe('1, 2 or 3.'),
    org: name('larkfield').describe('Organisation (version 2).'),
    bucket: name('bellwater').describe('Bucket (version 2, 3).'),
    database: name('bellwater').describe('Database (version 1, 3).'),
    retention_policy: name('autogen').describe('Retention policy (version 1).'),
    username: name('bellwater').describe('User (version 1).'),
    password: secret('INFLUX_PASSWORD').optional().describe('From the environment (version 1).'),
    password_file: secretFile('/run/secrets/influx').optional().describe('File that holds it.'),
    token: secret('INFLUX_TOKEN').optional().describe('From the environment (version 2, 3).'),
    token_file: secretFile('/run/secrets/influx').optional().describe('File that holds it.'),
  })
  .superRefine(
    rule(({ version }, given) => {
      if (version === undefined) return []
      const due = version === 1 ? ['database'] : version === 2 ? ['bucket'] : ['bucket', 'database']
      if (due.some((key) => given.has(key))) return []
      const [key = ''] = due
      return [
        {
          at: ['version'],
          wrong: `version ${version} needs a ${key}`,
          right: `add for example ${key}: bellwater`,
        },
      ]
    }),
    always,
  )
  .transform(({ password, password_file, token, token_file, ...rest }) => ({
    ...rest,
    password: password ?? password_file,
    token: token ?? token_file,
  }))

export const store = z.strictObject({
  folder: z
    .string()
    .min(1)
    .default('data')
    .describe('Where everything is kept; from the working directory. Nothing is written elsewhere.'),
  keep: z
    .strictObject({
      readings: kept('30 d').describe('Single readings.'),
      minutes: kept('2 a').describe('Minimum, mean and maximum of each minute.'),
      quarter_hours: kept('forever').describe('The same of each quarter of an hour.'),
    })
    .prefault({})
    .describe('How long.'),
  commit: duration('1 s')
    .prefault('1 s')
    .describe(
      'Longest time that a quiet batch of readings waits for its commit; spares a flash card. A change of an alarm never waits.',
    ),
  influxdb: influxdb
    .optional()
    .describe('Everything is forwarded there as well, also after days of disconnection.'),
})

export type StoreSettings = z.output<typeof store>
