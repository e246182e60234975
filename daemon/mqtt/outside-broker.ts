import type { Clock } from '../ports/clock.js'
import { minimalFilters } from '../decoding/topic.js'
import { after, seconds, type Milliseconds } from '../units/time.js'
import { acknowledgementsInOrder } from './acknowledgements.js'
import { hearing } from './hearing.js'
import { holdPubacks, pubacksCanBeHeld } from './held-pubacks.js'
import type { Ears, OutsideOptions } from './options.js'
import { outsideConnection } from './outside-connection.js'
import { outsidePublisher } from './outside-publisher.js'
import { messageHandler } from './message-handler.js'
import { ackTopic, offline, stateTopic } from './own-topics.js'
import { roomGate } from './room-gate.js'
import { subscriptions } from './subscriptions.js'
import { troubles } from './troubles.js'

/** How long `close` tries to say `offline`; the broker says it for us (our will) when that does not work out. */
const goodbye = seconds(2)

/**
 * Listens on a broker that is there already. Resolves at once: whether the broker can be reached is told by
 * `onTrouble`, and it keeps trying for ever, since after a power cut the broker may come back later than we do.
 * Throws BW_CONFIG when the address is none.
 */
export async function connectOutside(options: OutsideOptions): Promise<Ears> {
  const { clock, decoder, intake, log } = options
  const trouble = troubles(options.onTrouble)
  const ears = hearing(options)
  const gate = roomGate(intake)
  const acknowledgements = acknowledgementsInOrder()
  const { client, address, protocol, start } = outsideConnection(options, { up, down })
  const publisher = outsidePublisher(client, address)
  const own = options.button === null ? [] : [ackTopic(options.farm)]
  const wanted = (): readonly string[] => minimalFilters([...decoder().filters(), ...own])
  const listening = subscriptions({ client, wanted, clock, onAnswered })
  const sendPuback = (await pubacksCanBeHeld()) ? holdPubacks(client) : null
  if (sendPuback === null) {
    log.error(
      {},
      'this version of mqtt does not let acknowledgements be held back; one message for each commit from now on',
    )
  }

  let leaving = false

  function up(resumed: boolean): void {
    log.info({ address, resumed, protocol: protocol() }, 'connected to the broker')
    listening.begin(resumed)
    publisher.restate()
  }

  function down(why: string): void {
    acknowledgements.drop()
    publisher.giveUp()
    if (!leaving) trouble.set('connection', why)
  }

  function onAnswered(refused: ReadonlyMap<string, number>): void {
    const told = [...refused].map(([filter, code]) => `${filter} (code ${code})`).join(', ')
    trouble.set(
      'subscription',
      told === '' ? null : `the broker at ${address} does not let us listen to ${told}`,
    )
    trouble.set('connection', null)
  }

  client.handleMessage = messageHandler({ ears, acknowledgements, gate, sendPuback })
  start()
  return {
    publisher,
    address,
    refresh: () => listening.refresh(),
    counts: () => ({
      ...ears.counts(),
      waiting: acknowledgements.waiting(),
      connected: client.connected ? 1 : 0,
    }),
    passedBy: () => ears.passedBy(),
    async close() {
      leaving = true
      listening.close()
      await atMost(goodbye, publisher.publish(stateTopic(options.farm), offline, { retain: true }), clock)
      const isQuiet = client.connected && Object.keys(client.outgoing).length === 0
      await client.endAsync(!isQuiet)
    },
  }
}

/** Waits for the work to end, well or not, but not for long. */
function atMost(span: Milliseconds, work: Promise<void>, clock: Clock): Promise<void> {
  return new Promise((resolve) => {
    const end = (): void => {
      alarmClock.close()
      resolve()
    }
    const alarmClock = clock.alarmClock(end)
    alarmClock.setFor(after(clock.now(), span))
    work.then(end, end)
  })
}
