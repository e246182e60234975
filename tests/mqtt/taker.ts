// A process that takes messages and never acknowledges them, to be killed. Says on its own channel what it took.
import { connectOutside } from '../../daemon/mqtt/outside-broker.js'
import { openEmbeddedBroker } from '../../daemon/mqtt/embedded-broker.js'
import { embedded, ends, isUp, outside } from './ears.js'

const [kind, port] = process.argv.slice(2)
const given = ends()
const say = (what: unknown): void => void process.send?.(what)
const take = given.intake.take.bind(given.intake)
given.intake.take = (message) => {
  take(message)
  say({ took: message.arrivals.map(({ value }) => value) })
}
if (kind === 'outside') {
  await connectOutside(outside(Number(port), given, { protocol: '3.1.1' }))
  await given.troubles.until(isUp)
} else await openEmbeddedBroker(embedded(given, { port: Number(port) }))
say('ready')
