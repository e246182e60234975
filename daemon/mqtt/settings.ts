import { z } from 'zod'
import {
  always,
  duration,
  listenAddress,
  rule,
  secret,
  secretFile,
  url,
  type Misfit,
} from '../units/settings.js'

const embedded = z
  .strictObject({
    listen: listenAddress('127.0.0.1:1883').prefault('127.0.0.1:1883').describe('Where probes connect.'),
    username: z
      .string()
      .min(1)
      .optional()
      .meta({ examples: ['probe'] })
      .describe('Asked of probes; anyone may connect without it.'),
    password: secret('PROBE_PASSWORD').optional().describe('Asked of probes, from the environment.'),
    password_file: secretFile('/run/secrets/probes').optional().describe('File that holds it.'),
  })
  .transform(({ password, password_file, ...rest }) => ({ ...rest, password: password ?? password_file }))

export const broker = z
  .strictObject({
    embedded: embedded.optional().describe("Bellwater's own broker."),
    url: url(['mqtt', 'mqtts', 'ws', 'wss'], 'mqtts://broker.lan:8883')
      .optional()
      .describe('A broker that is there already; in place of `embedded`.'),
    protocol: z
      .enum(['3.1.1', '5'])
      .default('5')
      .describe('Version of MQTT spoken with that broker; quote it: "3.1.1".'),
    username: z
      .string()
      .min(1)
      .optional()
      .meta({ examples: ['bellwater'] })
      .describe('For that broker.'),
    password: secret('MQTT_PASSWORD').optional().describe('From the environment.'),
    password_file: secretFile('/run/secrets/mqtt').optional().describe('File that holds it.'),
    ca_file: secretFile('ca.pem')
      .optional()
      .describe('Certificates that are trusted (PEM); those of the system without it.'),
    cert_file: secretFile('client.pem').optional().describe('Our own certificate (PEM).'),
    key_file: secretFile('client.key').optional().describe('Its key (PEM).'),
    client_id: z
      .string()
      .min(1)
      .max(128)
      .optional()
      .meta({ examples: ['bellwater-larkfield'] })
      .describe(
        'Names the session that the broker keeps for us; bellwater-<farm> without it. Two daemons need two.',
      ),
    keep_alive: duration('30 s')
      .prefault('30 s')
      .describe('A lost connection is noticed after 1.5 times this.'),
    publish: z
      .strictObject({
        state: z
          .boolean()
          .default(true)
          .describe('bellwater/<farm>/state and bellwater/<farm>/alarm/<id>, retained.'),
        derived: z.boolean().default(false).describe('bellwater/<farm>/derived/<place>/<quantity>.'),
      })
      .prefault({})
      .describe('What Bellwater itself publishes.'),
    accept_ack: z
      .boolean()
      .default(false)
      .describe('A message on bellwater/<farm>/ack acknowledges, for a wired button.'),
  })
  .superRefine(rule(contradictions), always)
  .transform(
    ({ password, password_file, ca_file, cert_file, key_file, embedded: own, url: other, ...rest }) => ({
      ...rest,
      /** Exactly one of `embedded` and `url` is set. */
      embedded: other === undefined ? (own ?? { listen: { host: '127.0.0.1', port: 1883 } }) : undefined,
      url: other,
      password: password ?? password_file,
      ca: ca_file,
      cert: cert_file,
      key: key_file,
    }),
  )

export type BrokerSettings = z.output<typeof broker>

const outsideOnly = ['username', 'password', 'password_file', 'ca_file', 'cert_file', 'key_file']

function contradictions(_: unknown, given: ReadonlySet<string>): readonly Misfit[] {
  const found: Misfit[] = []
  if (given.has('url') && given.has('embedded')) {
    found.push({
      at: ['url'],
      wrong: 'url and embedded exclude one another',
      right: 'leave out one of the two',
    })
  }
  for (const name of given.has('url') ? [] : outsideOnly) {
    if (!given.has(name)) continue
    found.push({
      at: [name],
      wrong: 'belongs to a broker with a url',
      right: 'add url, or write it under embedded',
    })
  }
  if (given.has('cert_file') !== given.has('key_file')) {
    const at = [given.has('cert_file') ? 'cert_file' : 'key_file']
    found.push({
      at,
      wrong: 'a certificate and its key go together',
      right: 'give both cert_file and key_file',
    })
  }
  return found
}
