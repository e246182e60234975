import type { StateLine } from '../journal/line.js'
import type { Log } from '../ports/log.js'
import type { Publisher } from '../ports/publisher.js'
import { rfc3339 } from '../units/time.js'
import type { Watch } from '../watch/live.js'
import type { Configuration } from './assemble.js'

export interface AnnounceRequest {
  readonly watch: Watch
  readonly current: () => Configuration
  readonly log: Log
}

/** Says on the broker how alarms stand, and computed values if asked for (contract 4). The state topic is the ears' own. */
export function announceOn(
  publisher: Publisher,
  { watch, current, log }: AnnounceRequest,
): { close(): void } {
  const { publish } = current().settings.broker
  const say = (topic: string, payload: string, retain: boolean): void => {
    publisher.publish(topic, payload, { retain }).catch((cause: unknown) => {
      log.warn({ err: cause, topic }, 'could not be published')
    })
  }
  const farm = current().plan.farm.id
  const stop = watch.subscribe((line) => {
    if (line.event === 'state' && publish.state && line.superseded !== true) {
      say(`bellwater/${farm}/alarm/${topicPart(line.alarm)}`, alarmPayload(line), true)
    } else if (line.event === 'value' && publish.derived) {
      say(
        `bellwater/${farm}/derived/${line.signal}`,
        JSON.stringify({ value: line.value, unit: line.unit, quality: line.quality, at: rfc3339(line.at) }),
        false,
      )
    }
  })
  return { close: stop }
}

const alarmPayload = (line: StateLine): string =>
  JSON.stringify({
    state: line.to,
    priority: line.priority,
    occurrence: line.occurrence,
    number: line.number,
    at: rfc3339(line.at),
  })

/** An alarm about a signal has a slash in its name, which would make a level of its own. */
const topicPart = (alarm: string): string => alarm.replaceAll('/', '.')
