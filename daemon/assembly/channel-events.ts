import { Fault } from '../errors.js'
import type { ChannelEvents } from './channels.js'

/**
 * Channels open before the watch that listens to them: troubles wait for it, the latest of each; texts are refused, so that
 * the channel keeps them and tells them again. Receipts of letters sent before cannot come yet.
 */
export function eventsUntilHeard(): { readonly events: ChannelEvents; listen(to: ChannelEvents): void } {
  const troubles = new Map<string, string | null>()
  let listener: ChannelEvents | null = null
  return {
    events: {
      trouble: (channel, why) => {
        if (listener === null) troubles.set(channel, why)
        else listener.trouble(channel, why)
      },
      text: (channel, text) =>
        listener === null
          ? Promise.reject(new Fault('BW_CHANNEL', 'nobody listens to texts yet'))
          : listener.text(channel, text),
      receipt: (channel, receipt) => listener?.receipt(channel, receipt),
    },
    listen: (to) => {
      listener = to
      for (const [channel, why] of troubles) to.trouble(channel, why)
      troubles.clear()
    },
  }
}
