import type { Recomputation } from '../ports/past.js'
import { awaitRecomputation, changedInWords } from './await-recomputation.js'
import { daemonClient } from './daemon-client.js'
import { loadFarm } from './load-farm.js'
import { timeOption } from './time-option.js'
import type { Verb } from './verb.js'

interface Written {
  readonly signal: string
  readonly from: string
  readonly to?: string
  readonly by?: string
}

/** `recompute`: computed values of a span anew, from what the record and the configuration say today. */
export const recomputeVerb: Verb = {
  name: 'recompute',
  usage: '',
  summary: 'compute values of the past anew, after the configuration of a tank or a probe was corrected',
  example: 'bellwater recompute --from 2027-01-13T00:00:00Z --to 2027-01-14T00:00:00Z --signal "tank-1/*"',
  options(command) {
    command
      .requiredOption('--from <time>', 'RFC 3339')
      .option('--to <time>', 'RFC 3339; now when left out')
      .option('--signal <pattern>', 'computed signals; * and ? stand for letters', '*/*')
      .option('--by <person>', 'who asks for it')
  },
  async run(_args, options, terminal) {
    const { settings } = loadFarm(options, terminal)
    const client = daemonClient(settings)
    const { signal, from, to, by } = options.own as unknown as Written
    const asked = (await client.post('/api/recomputations', {
      ...{ signals: signal, from: timeOption('--from', from) },
      ...(to === undefined ? {} : { to: timeOption('--to', to) }),
      ...(by === undefined ? {} : { by }),
    })) as Recomputation
    const done = await awaitRecomputation(client, asked.id, terminal)
    terminal.out(options.json ? `${JSON.stringify(done)}\n` : `${changedInWords(done)}\n`)
    return 0
  },
}
