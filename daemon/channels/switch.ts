import type { Sent, Switch } from '../ports/channel.js'
import type { Publisher } from '../ports/publisher.js'
import { errorText, outcome } from './detail.js'
import { limited } from './limited.js'
import type { SwitchOptions } from './options.js'

/** A siren or lamp that listens on the broker. Accepted means that the broker took the message, not that it is heard. */
export function mqttSwitch(options: SwitchOptions, publisher: Publisher): Switch {
  const { name, topic, payloadOn, payloadOff, retain, within } = options
  const set = async (on: boolean): Promise<Sent> => {
    try {
      await publisher.publish(topic, on ? payloadOn : payloadOff, { retain })
      return outcome('accepted', `${topic} ${on ? 'on' : 'off'}`)
    } catch (error) {
      return outcome('temporary', `the broker did not take it: ${errorText(error)}`)
    }
  }
  const { attempt, close } = limited(set, { within })
  return { name, set: attempt, close }
}
