import { z } from 'zod'
import { period, secret, secretFile, secretText, url } from '../units/settings.js'

const timeout = period('20 s').prefault('20 s').describe('How long an attempt may take.')

const payload = z.union([z.string(), z.union([z.number(), z.boolean()]).transform(String)])

/** Mail through a relay. */
const smtp = z
  .strictObject({
    kind: z.literal('smtp').describe('Mail through a server of your provider.'),
    host: z
      .string()
      .min(1)
      .meta({ examples: ['smtp.example.org'] })
      .describe('The mail server.'),
    port: z
      .int()
      .min(1)
      .max(65_535)
      .default(587)
      .describe('587 for submission (RFC 6409), 465 with `encryption: tls`.'),
    encryption: z
      .enum(['starttls', 'tls', 'if_offered', 'none'])
      .default('if_offered')
      .describe('starttls insists on it, tls speaks it from the start (RFC 8314).'),
    from: z
      .string()
      .regex(/^[^\s@]+@[^\s@]+$|^.+<[^\s@]+@[^\s@]+>$/)
      .meta({ examples: ['bellwater@example.org'] })
      .describe('Sender.'),
    username: z
      .string()
      .min(1)
      .optional()
      .meta({ examples: ['bellwater'] })
      .describe('For servers that ask for it.'),
    password: secret('SMTP_PASSWORD').optional().describe('From the environment.'),
    password_file: secretFile('/run/secrets/smtp').optional().describe('File that holds it.'),
    timeout,
  })
  .transform(({ password, password_file, ...rest }) => ({ ...rest, password: password ?? password_file }))

/** Texts through a GSM modem (3GPP TS 27.005): works when the internet does not. */
const modem = z
  .strictObject({
    kind: z.literal('modem').describe('Texts through a GSM modem.'),
    device: z
      .string()
      .min(1)
      .meta({ examples: ['/dev/ttyUSB0'] })
      .describe('Serial device.'),
    baud: z.int().min(300).max(4_000_000).default(115_200).describe('Speed of the serial line.'),
    pin: secret('SIM_PIN').optional().describe('PIN of the card, from the environment.'),
    pin_file: secretFile('/run/secrets/pin').optional().describe('File that holds it.'),
    timeout: period('60 s').prefault('60 s').describe('How long an attempt may take.'),
  })
  .transform(({ pin, pin_file, ...rest }) => ({ ...rest, pin: pin ?? pin_file }))

/** Any service that takes an HTTP request: a text gateway, a chat, a webhook. */
const http = z.strictObject({
  kind: z.literal('http').describe('A request to any service: a text gateway, a webhook.'),
  url: secretText('https://texts.example.org/send').describe(
    'Address; {to}, {text} and {subject} are filled in, URL-encoded. Shown nowhere, since keys often stand in it.',
  ),
  method: z.enum(['GET', 'POST', 'PUT']).default('POST').describe('HTTP method.'),
  headers: z
    .record(
      z
        .string()
        .regex(/^[!#$%&'*+.^_`|~0-9A-Za-z-]+$/)
        .meta({ examples: ['authorization'] }),
      secretText('Bearer ${TEXTS_TOKEN}'),
    )
    .prefault({})
    .describe('Header fields; shown nowhere.'),
  body: secretText('{"to":"{to}","text":"{text}"}')
    .optional()
    .describe('Body; {to}, {text} and {subject} are filled in, escaped for JSON where content-type says so.'),
  success: z
    .strictObject({
      status: z
        .tuple([z.int().min(100).max(599), z.int().min(100).max(599)])
        .default([200, 299])
        .describe('Answers from the first to the second status mean that it was taken.'),
      pointer: z
        .string()
        .regex(/^(\/.*)?$/)
        .optional()
        .meta({ examples: ['/status'] })
        .describe('JSON Pointer into the answer, for services that answer 200 to everything.'),
      is: z
        .array(z.string())
        .min(1)
        .optional()
        .meta({ examples: [['queued', 'sent']] })
        .describe('What must stand there; one of these.'),
      matches: z
        .string()
        .min(1)
        .optional()
        .meta({ examples: ['^OK'] })
        .describe('A regular expression that the answer must match, where it is no JSON.'),
    })
    .prefault({})
    .describe('When the service has taken the message.'),
  timeout,
})

/** A siren or lamp. */
const mqtt = z.strictObject({
  kind: z.literal('mqtt').describe('A siren, lamp or other switch on the broker.'),
  topic: z
    .string()
    .min(1)
    .regex(/^[^+#]+$/)
    .meta({ examples: ['larkfield/siren/set'] })
    .describe('Where it listens.'),
  payload_on: payload.prefault('1').describe('Message that turns it on.'),
  payload_off: payload.prefault('0').describe('Message that turns it off.'),
  qos: z.int().min(0).max(2).default(1).describe('MQTT quality of service.'),
  retain: z.boolean().default(false).describe('Whether the broker keeps the last message.'),
})

/** Notifications in the browser of an enrolled phone (RFC 8030); its keys are made and kept in the store. */
const push = z.strictObject({
  kind: z.literal('push').describe('Notifications to enrolled phones.'),
  contact: url(['mailto', 'https'], 'mailto:first@example.org').describe(
    'Whom the push service may ask (RFC 8292, 2.1).',
  ),
  timeout,
})

/** Files in the data folder, for practice and until something real is there. */
const folder = z.strictObject({
  kind: z.literal('folder').describe('One file per message in the outbox folder, shown on the page.'),
  folder: z
    .string()
    .regex(/^(?!.*\.\.)[^/\0][^\0]*$/)
    .default('outbox')
    .describe("Folder, inside the store's."),
})

export const channel = z.discriminatedUnion('kind', [smtp, modem, http, mqtt, push, folder])
export type ChannelSettings = z.output<typeof channel>
