import { setTimeout } from 'node:timers/promises'
import { Fault } from '../errors.js'
import type { Recomputation } from '../ports/past.js'
import { epochMs, rfc3339 } from '../units/time.js'
import type { DaemonClient } from './daemon-client.js'
import type { Terminal } from './verb.js'

const askEvery = 500
/** Said so often how far it came; ms. */
const tellEvery = 10_000

/** Waits until the watch has computed a span anew. Ctrl-C ends the waiting, not the work. */
export async function awaitRecomputation(
  client: DaemonClient,
  id: number,
  terminal: Terminal,
): Promise<Recomputation> {
  for (let waited = 0; ; waited += askEvery) {
    const all = (await client.get('/api/recomputations')) as readonly Recomputation[]
    const one = all.find((recomputation) => recomputation.id === id)
    if (one === undefined)
      throw new Fault(
        'BW_HTTP',
        'the watch was restarted meanwhile; what was asked for goes on by itself',
        'bellwater recompute over the same span says when nothing is left to change',
      )
    if (one.finished) return one
    if (waited > 0 && waited % tellEvery === 0)
      terminal.err(`computed anew until ${rfc3339(epochMs(one.doneUntil))}\n`)
    await setTimeout(askEvery)
  }
}

export const changedInWords = ({ changed }: Recomputation): string =>
  changed === 0
    ? 'No computed value is different now.'
    : `${changed} computed value${changed === 1 ? ' is' : 's are'} different now.`
