import { compileProbes } from '../decoding/compile-probes.js'
import type { Decoder, ProbeEntry } from '../decoding/probe-entry.js'
import { openEmbeddedBroker } from '../mqtt/embedded-broker.js'
import type { Ears, EarsOptions, Login } from '../mqtt/options.js'
import { connectOutside } from '../mqtt/outside-broker.js'
import type { Clock } from '../ports/clock.js'
import type { Log } from '../ports/log.js'
import type { Settings } from '../settings/schema.js'
import { anyRandom } from '../system/random.js'
import type { Watch } from '../watch/live.js'
import type { Configuration } from './assemble.js'

export interface EarsRequest {
  readonly current: () => Configuration
  readonly watch: Watch
  readonly clock: Clock
  readonly log: Log
}

/** Listens on the broker that the configuration names. */
export function openEars({ current, watch, clock, log }: EarsRequest): Promise<Ears> {
  const { settings } = current()
  const { broker } = settings
  const decoderOf = rememberedDecoder()
  const options: EarsOptions = {
    farm: current().plan.farm.id,
    decoder: () => decoderOf(current()),
    intake: watch,
    clock,
    log,
    onTrouble: ({ of, broken, why }) => watch.trouble(of, broken, why),
    button: broker.accept_ack ? (payload) => press(watch, payload, log) : null,
  }
  if (broker.url !== undefined) {
    return connectOutside({
      ...options,
      url: broker.url,
      protocol: broker.protocol,
      clientId: broker.client_id ?? `bellwater-${current().plan.farm.id}`,
      username: broker.username ?? null,
      password: broker.password ?? null,
      tls: { ca: broker.ca ?? null, cert: broker.cert ?? null, key: broker.key ?? null },
      keepAlive: broker.keep_alive,
      random: anyRandom,
    })
  }
  const own = broker.embedded
  const { host, port } = own?.listen ?? { host: '127.0.0.1', port: 1883 }
  return openEmbeddedBroker({ ...options, host, port, login: loginOf(own) })
}

type Own = NonNullable<Settings['broker']['embedded']>

/** What our own broker asks of probes; null when it asks nothing. */
export function loginOf(own: Own | undefined): Login | null {
  if (own === undefined || !('username' in own) || own.username === undefined || own.password === undefined)
    return null
  return { username: own.username, password: own.password }
}

/** What the probes' messages mean under a configuration. */
export function decoderFor({ settings, plan }: Configuration): Decoder {
  return compileProbes(settings.probes.flatMap(entryOf), {
    quantity: (name) => plan.quantities.get(name),
    isPlace: (id) => plan.places.has(id) || plan.equipment.has(id),
  })
}

function rememberedDecoder(): (configuration: Configuration) => Decoder {
  let of: Configuration | null = null
  let decoder: Decoder | null = null
  return (configuration) => {
    if (decoder === null || of !== configuration) {
      of = configuration
      decoder = decoderFor(configuration)
    }
    return decoder
  }
}

type Probe = Settings['probes'][number]

function entryOf(probe: Probe, index: number): ProbeEntry[] {
  if (probe.topic === undefined) return []
  const common = { at: `probes[${index}]`, topic: probe.topic, unit: probe.unit ?? null }
  if (probe.format === 'senml') return [{ ...common, format: 'senml', names: probe.names ?? {} }]
  const one = { ...common, signal: probe.signal ?? null, words: probe.words ?? false }
  if (probe.value === undefined) return [{ ...one, format: 'bare' }]
  return [{ ...one, format: 'json', value: probe.value, time: probe.time ?? null }]
}

/** A wired button: the payload names person and alarm or number, `first-keeper 47`. */
function press(watch: Watch, payload: string, log: Log): void {
  const [by = '', alarm = ''] = payload.trim().split(/\s+/)
  watch
    .act({ do: 'acknowledge', alarm, occurrence: null, by, via: 'button' })
    .then((answer) =>
      log.info({ by, accepted: answer.accepted, text: answer.text }, 'the wired button was pressed'),
    )
    .catch((cause: unknown) => log.error({ err: cause }, 'the wired button could not be heard'))
}
