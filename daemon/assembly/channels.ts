import { join } from 'node:path'
import { emailChannel } from '../channels/email.js'
import { gatewayChannel } from '../channels/gateway.js'
import { bounded, layered, logged } from '../channels/layers.js'
import type { AcceptanceRule } from '../channels/options.js'
import { outboxFolder } from '../channels/outbox-folder.js'
import { mqttSwitch } from '../channels/switch.js'
import type { Channel, Switch } from '../ports/channel.js'
import type { Clock } from '../ports/clock.js'
import type { Log } from '../ports/log.js'
import type { Publisher } from '../ports/publisher.js'
import type { Settings } from '../settings/schema.js'
import { seconds } from '../units/time.js'

/** Writing a file is quick or fails. */
const folderWithin = seconds(10)
const switchWithin = seconds(10)
/** So many letters stay in an outbox folder. */
const lettersKept = 1000
/** Attempts at one time and waiting over one channel: a flood must not open a hundred connections. */
const atOnce = 4
const waitingMost = 500

export interface ChannelSurroundings {
  /** The default outbox folder: where calls go whose channel is not configured. */
  readonly outbox: string
  readonly clock: Clock
  readonly log: Log
}

type Configured = Settings['channels'][string]

/** Every channel of the configuration, and the outbox for what has none yet. */
export function openChannels(settings: Settings, around: ChannelSurroundings): ReadonlyMap<string, Channel> {
  const channels = new Map<string, Channel>()
  for (const [name, configured] of Object.entries(settings.channels)) {
    const channel = channelOf(name, configured, settings, around)
    if (channel !== null)
      channels.set(name, layered(channel, bounded(atOnce, waitingMost), logged(around.log, around.clock)))
  }
  channels.set('outbox', folderChannel('outbox', around.outbox, around.clock))
  return channels
}

function channelOf(
  name: string,
  configured: Configured,
  settings: Settings,
  { clock, outbox, log }: ChannelSurroundings,
): Channel | null {
  switch (configured.kind) {
    case 'smtp': {
      const { host, port, encryption, from, username, password, timeout } = configured
      const login =
        username === undefined || password === undefined ? null : { username, password: password.reveal() }
      return emailChannel({ name, host, port, encryption, from, login, authorities: null, within: timeout })
    }
    case 'http': {
      const { url, method, headers, body, success, timeout } = configured
      return gatewayChannel({
        name,
        url: url.reveal(),
        method,
        headers: Object.fromEntries(Object.entries(headers).map(([field, value]) => [field, value.reveal()])),
        body: body?.reveal() ?? null,
        accepted: { status: success.status, body: bodyRuleOf(success) },
        within: timeout,
      })
    }
    case 'folder':
      return folderChannel(name, join(settings.store.folder, configured.folder), clock)
    case 'modem':
    case 'push':
      // Their drivers come with the next stage of the call-out; until then nothing of theirs may be lost silently.
      log.warn(
        { channel: name, kind: configured.kind },
        'this kind of channel cannot send yet: its calls go to the outbox folder',
      )
      return folderChannel(name, outbox, clock)
    case 'mqtt':
      return null
  }
}

const folderChannel = (name: string, folder: string, clock: Clock): Channel =>
  outboxFolder({ name, folder, keep: lettersKept, within: folderWithin }, clock)

function bodyRuleOf(success: Extract<Configured, { kind: 'http' }>['success']): AcceptanceRule['body'] {
  if (success.pointer !== undefined) return { kind: 'json', pointer: success.pointer, is: success.is ?? [] }
  return success.matches === undefined ? { kind: 'any' } : { kind: 'matches', pattern: success.matches }
}

/** Sirens and lamps: they hang on the broker. */
export function openSwitches(settings: Settings, publisher: Publisher): ReadonlyMap<string, Switch> {
  const switches = new Map<string, Switch>()
  for (const [name, configured] of Object.entries(settings.channels)) {
    if (configured.kind !== 'mqtt') continue
    const { topic, payload_on: payloadOn, payload_off: payloadOff, retain } = configured
    switches.set(
      name,
      mqttSwitch({ name, topic, payloadOn, payloadOff, retain, within: switchWithin }, publisher),
    )
  }
  return switches
}
