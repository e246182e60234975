import { z } from 'zod'
import { duration, listenAddress, secret, secretFile, url } from '../units/settings.js'

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
  .check((context) => {
    const { value } = context
    const problem = (key: string, message: string, right: string) =>
      context.issues.push({ code: 'custom', message, params: { right }, path: [key], input: value })
    if (value.url !== undefined && value.embedded !== undefined) {
      problem('url', 'either url or embedded, not both', 'leave out one of the two')
    }
    if (value.url === undefined) {
      for (const key of [
        'username',
        'password',
        'password_file',
        'ca_file',
        'cert_file',
        'key_file',
      ] as const) {
        if (value[key] !== undefined)
          problem(key, 'belongs to a broker with a url', 'add url, or write it under embedded')
      }
    }
    if ((value.cert_file === undefined) !== (value.key_file === undefined)) {
      problem(
        value.cert_file === undefined ? 'key_file' : 'cert_file',
        'a certificate and its key go together',
        'give both cert_file and key_file',
      )
    }
  })
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
