import type { MqttClient } from 'mqtt'
import type { Clock } from '../ports/clock.js'
import { after, minutes } from '../units/time.js'

export interface Subscriptions {
  /** A session stands: ask for everything. */
  begin(resumed: boolean): void
  /** What is wanted may have changed: ask for what is new, give up what is no longer wanted. */
  refresh(): void
  close(): void
}

/** Filters in one SUBSCRIBE packet: some brokers take no more than a hundred. Common practice. */
const perPacket = 100
/** A refusal may be mended on the broker without our connection ever breaking. */
const askAgainAfter = minutes(1)

export interface SubscriptionOptions {
  readonly client: MqttClient
  readonly wanted: () => readonly string[]
  readonly clock: Clock
  /** The broker has answered: the filters that it refuses, with its reason codes; none when it grants all. */
  readonly onAnswered: (refused: ReadonlyMap<string, number>) => void
}

/** Keeps the session's subscriptions as they are wanted, and says what the broker refuses (SUBACK ≥ 0x80). */
export function subscriptions({ client, wanted, clock, onAnswered }: SubscriptionOptions): Subscriptions {
  const granted = new Set<string>()
  const refused = new Map<string, number>()
  const askAgain = clock.alarmClock(() => {
    if (client.connected) ask([...refused.keys()], true)
  })

  let unanswered = 0

  function ask(filters: readonly string[], resumed: boolean): void {
    const parts = inParts(filters)
    unanswered = parts.length
    if (parts.length === 0) tell()
    // In a session that still stands, MQTT 5 sends retained messages only for what is new to it (3.8.3.1).
    const options = { qos: 1, rh: resumed ? 1 : 0 } as const
    for (const part of parts) {
      client.subscribe([...part], options, (_error, _subscriptions, packet) => {
        // Without an answer the connection broke; the next session asks again.
        if (packet !== undefined) settle(part, packet.granted)
      })
    }
  }

  function settle(filters: readonly string[], codes: readonly unknown[]): void {
    for (const [at, filter] of filters.entries()) {
      const code = Number(codes[at])
      refused.delete(filter)
      if (code < 0x80) granted.add(filter)
      else refused.set(filter, code)
    }
    unanswered -= 1
    if (unanswered <= 0) tell()
  }

  function tell(): void {
    askAgain.setFor(refused.size === 0 ? null : after(clock.now(), askAgainAfter))
    onAnswered(refused)
  }

  return {
    begin(resumed) {
      granted.clear()
      refused.clear()
      ask(wanted(), resumed)
    },
    refresh() {
      if (!client.connected) return
      const now = new Set(wanted())
      const gone = [...granted].filter((filter) => !now.has(filter))
      for (const filter of gone) granted.delete(filter)
      for (const filter of refused.keys()) if (!now.has(filter)) refused.delete(filter)
      if (gone.length > 0) client.unsubscribe(gone)
      ask(
        [...now].filter((filter) => !granted.has(filter)),
        true,
      )
    },
    close: () => askAgain.close(),
  }
}

const inParts = (filters: readonly string[]): readonly (readonly string[])[] =>
  Array.from({ length: Math.ceil(filters.length / perPacket) }, (_, at) =>
    filters.slice(at * perPacket, (at + 1) * perPacket),
  )
