import { z } from 'zod'
import { listenAddress, period, url } from '../units/settings.js'

export const web = z.strictObject({
  listen: listenAddress('127.0.0.1:8420').prefault('127.0.0.1:8420').describe('Where the pages are.'),
  public_url: url(['http', 'https'], 'https://water.example.org')
    .optional()
    .describe('Where people find them from outside; answer links in messages begin with it.'),
  look_without_login: z
    .boolean()
    .optional()
    .meta({ examples: [false] })
    .describe(
      'On this machine, looking needs no login. Without it: so while only this machine can reach the pages.',
    ),
  act_without_login: z
    .boolean()
    .optional()
    .meta({ examples: [false] })
    .describe('On this machine, acting needs no login either. Without it as `look_without_login`.'),
  session: period('30 d').prefault('30 d').describe('How long a login lasts.'),
  answer_links: period('24 h').prefault('24 h').describe('How long a link in a message can be answered.'),
})

export type WebSettings = z.output<typeof web>
