import { Fault } from '../errors.js'
import { measureIn, parseMeasure } from '../units/convert.js'
import { daemonClient } from './daemon-client.js'
import { loadFarm } from './load-farm.js'
import type { ExitCode, Terminal, Verb, VerbOptions } from './verb.js'

/** Sends one act about an alarm and prints the watch's answer. */
async function answer(
  alarm: string,
  verb: string,
  body: object,
  { options, terminal }: { options: VerbOptions; terminal: Terminal },
): Promise<ExitCode> {
  const { settings } = loadFarm(options, terminal)
  const told = (await daemonClient(settings).post(
    `/api/alarms/${encodeURIComponent(alarm)}/${verb}`,
    body,
  )) as { text: string }
  terminal.out(options.json ? `${JSON.stringify(told)}\n` : `${told.text}\n`)
  return 0
}

const by = (options: VerbOptions): object => {
  const person = options.own['by'] as string | undefined
  return person === undefined ? {} : { by: person }
}

/** `ack ALARM`: somebody is on it. */
export const ackVerb: Verb = {
  name: 'ack',
  usage: '<alarm>',
  summary: 'acknowledge an alarm by its id or by the number that its text carried',
  example: 'bellwater ack 47 --by first-keeper',
  options(command) {
    command.option('--by <person>', 'who acknowledges')
  },
  run([alarm = ''], options, terminal) {
    return answer(alarm, 'acknowledge', by(options), { options, terminal })
  },
}

/** `shelve ALARM --for 30m --why …`. */
export const shelveVerb: Verb = {
  name: 'shelve',
  usage: '<alarm>',
  summary: 'keep an alarm quiet for a while, with a reason',
  example: 'bellwater shelve oxygen-low@tank-1 --for 30min --why "probe out for cleaning" --by first-keeper',
  options(command) {
    command
      .option('--for <time>', 'how long, for example 30min; the longest allowed when left out')
      .requiredOption('--why <reason>', 'kept in the record')
      .option('--one-shot', 'ends by itself once the alarm has come and gone', false)
      .option('--by <person>', 'who shelves it')
  },
  run([alarm = ''], options, terminal) {
    const { for: span, why, oneShot } = options.own as { for?: string; why: string; oneShot: boolean }
    return answer(
      alarm,
      'shelve',
      { ...by(options), why, oneShot, forMinutes: span === undefined ? null : inMinutes(span) },
      { options, terminal },
    )
  },
}

/** `30m` is read as minutes: nobody shelves an alarm for thirty metres. */
function inMinutes(span: string): number {
  const found = measureIn(parseMeasure(span.replace(/^(\d+(?:\.\d+)?)\s*m$/, '$1 min')), 'min')
  if (found > 0) return found
  throw new Fault('BW_USAGE', `--for ${span} is no length of time`, 'write for example 30min')
}
