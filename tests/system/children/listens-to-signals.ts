import { onSignals } from '../../../daemon/system/signals.js'

/** Says what it is told; after the second request to stop it listens no longer, so that a third one ends it. */
const say = (words: string) => process.stdout.write(`${words}\n`)
const forget = onSignals({
  reload: () => say('reload'),
  stop: (signal, times) => {
    if (times === 2) forget()
    say(`stop ${signal} ${times}`)
  },
})
process.stdin.resume()
say('ready')
