import { compileProbes } from '../../daemon/decoding/compile-probes.js'
import type { Decoder } from '../../daemon/decoding/probe-entry.js'
import type { BrokerTrouble, EmbeddedOptions, OutsideOptions } from '../../daemon/mqtt/options.js'
import { silentLog } from '../../daemon/ports/log.js'
import { systemClock } from '../../daemon/system/clock.js'
import { quantityNamed } from '../../daemon/units/quantities.js'
import { seconds } from '../../daemon/units/time.js'
import { FakeIntake } from './fake-intake.js'
import { Told } from './told.js'

/** A decoder for bare numbers on these topics, each a signal of its own. */
export const decoderFor = (...topics: readonly string[]): Decoder =>
  compileProbes(
    topics.map((topic, at) => ({
      at: `probes[${at}]`,
      topic,
      signal: `tank-${at + 1}/ph`,
      unit: null,
      words: false,
      format: 'bare',
    })),
    { quantity: quantityNamed, isPlace: () => true },
  )

export const clock = systemClock()

export interface Ends {
  readonly intake: FakeIntake
  readonly troubles: Told<BrokerTrouble>
  readonly pressed: Told<string>
}

export const ends = (intake = new FakeIntake()): Ends => ({
  intake,
  troubles: new Told(),
  pressed: new Told(),
})

const common = ({ intake, troubles, pressed }: Ends) => ({
  farm: 'larkfield',
  decoder: () => decoderFor('farm/ph'),
  intake,
  clock,
  log: silentLog,
  onTrouble: troubles.tell,
  button: pressed.tell,
})

export const outside = (port: number, given: Ends, over: Partial<OutsideOptions> = {}): OutsideOptions => ({
  ...common(given),
  url: `mqtt://127.0.0.1:${port}`,
  protocol: '5',
  clientId: 'bellwater-larkfield',
  username: null,
  password: null,
  tls: { ca: null, cert: null, key: null },
  keepAlive: seconds(30),
  random: () => 0,
  ...over,
})

export const embedded = (given: Ends, over: Partial<EmbeddedOptions> = {}): EmbeddedOptions => ({
  ...common(given),
  host: '127.0.0.1',
  port: 0,
  login: null,
  ...over,
})

/** Until the broker is there and grants everything. */
export const isUp = (all: readonly BrokerTrouble[]): boolean => all.at(-1)?.broken === false
