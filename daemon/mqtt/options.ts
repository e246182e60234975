import type { TopicTally } from '../decoding/tally.js'
import type { Decoder } from '../decoding/probe-entry.js'
import type { Clock } from '../ports/clock.js'
import type { Intake } from '../ports/intake.js'
import type { Log } from '../ports/log.js'
import type { Publisher } from '../ports/publisher.js'
import type { Secret } from '../secret.js'
import type { Milliseconds } from '../units/time.js'

/** What both kinds of broker need. */
export interface EarsOptions {
  /** The farm's name as it stands in topics. */
  readonly farm: string
  /** Asked for every message, so that a new configuration takes effect at once. */
  readonly decoder: () => Decoder
  readonly intake: Intake
  readonly clock: Clock
  readonly log: Log
  /** Told of every change: something about the broker broke, or all of it works again. */
  readonly onTrouble: (trouble: BrokerTrouble) => void
  /** What a message on `bellwater/<farm>/ack` does; null when such messages are not accepted. */
  readonly button: ((payload: string) => void) | null
}

export interface BrokerTrouble {
  readonly of: 'broker'
  readonly broken: boolean
  /** In words; holds no secret. */
  readonly why: string
}

/** Bellwater's own broker. */
export interface EmbeddedOptions extends EarsOptions {
  readonly host: string
  /** 0 for any free port. */
  readonly port: number
  /** Asked of everyone who connects; null lets in whoever reaches the port, which must then be on loopback. */
  readonly login: Login | null
}

export interface Login {
  readonly username: string
  readonly password: Secret
}

/** A broker that is there already. */
export interface OutsideOptions extends EarsOptions {
  /** `mqtt://host:1883`, `mqtts://host:8883`, `ws://…`, `wss://…`, without credentials. */
  readonly url: string
  /** The version tried first; 5 falls back to 3.1.1 when the broker does not speak it. */
  readonly protocol: '5' | '3.1.1'
  /** Names the session that the broker keeps for us. Two daemons with the same one would push each other out. */
  readonly clientId: string
  readonly username: string | null
  readonly password: Secret | null
  /** PEM. */
  readonly tls: { readonly ca: Secret | null; readonly cert: Secret | null; readonly key: Secret | null }
  readonly keepAlive: Milliseconds
  /** From 0 up to 1: spreads reconnects, so that not all clients come back in the same moment. */
  readonly random: () => number
}

/** The daemon's ears on a broker, and its voice. */
export interface Ears {
  readonly publisher: Publisher
  /** Where it listens or connects to, for people. */
  readonly address: string
  /** After the configuration changed: listens to what the decoder now wants, and to nothing else. */
  refresh(): void
  counts(): EarCounts
  /** What came in and changed nothing, by topic. */
  passedBy(): readonly TopicTally[]
  /** Says `offline`, then goes. Messages not yet acknowledged stay so, and come again. */
  close(): Promise<void>
}

export interface EarCounts {
  readonly received: number
  readonly taken: number
  readonly unmapped: number
  readonly rejected: number
  /** Taken and not yet acknowledged. */
  readonly waiting: number
  /** Clients of our own broker, or 1 and 0 for the connection to another one. */
  readonly connected: number
}
