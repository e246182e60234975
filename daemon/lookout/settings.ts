import { z } from 'zod'
import { id, listenAddress, period, secret, secretFile, url } from '../units/settings.js'

const beat = z
  .strictObject({
    to: url(['http', 'https'], 'https://lookout.example.org/beat').describe('Address of the lookout.'),
    every: period('1 min')
      .prefault('1 min')
      .describe('How often; only while the watch really does its work.'),
    token: secret('LOOKOUT_TOKEN').optional().describe('Proves who we are, from the environment.'),
    token_file: secretFile('/run/secrets/lookout').optional().describe('File that holds it.'),
  })
  .transform(({ token, token_file, ...rest }) => ({ ...rest, token: token ?? token_file }))

const watched = z
  .strictObject({
    farm: id('larkfield').describe('Name of the farm in its beats.'),
    silent_after: period('5 min')
      .prefault('5 min')
      .describe('It is called lost after this long without a beat.'),
    ladder: id('night').optional().describe('Whom to call; the only ladder, or `system.ladder`, without it.'),
    token: secret('LARKFIELD_TOKEN').optional().describe('Its beats must carry it, from the environment.'),
    token_file: secretFile('/run/secrets/larkfield').optional().describe('File that holds it.'),
  })
  .transform(({ token, token_file, ...rest }) => ({ ...rest, token: token ?? token_file }))

export const lookout = z.strictObject({
  beat: beat.optional().describe('This farm tells a lookout elsewhere that it lives.'),
  listen: listenAddress('0.0.0.0:8421').optional().describe('For `bellwater lookout`: where beats come in.'),
  watches: z.array(watched).default([]).describe('For `bellwater lookout`: the farms it watches.'),
})

export type LookoutSettings = z.output<typeof lookout>
