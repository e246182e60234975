import { Fault } from '../errors.js'
import { signalParts } from '../readings/signal.js'
import { parseMeasure } from '../units/convert.js'
import { daemonClient } from './daemon-client.js'
import { loadFarm } from './load-farm.js'
import type { Verb } from './verb.js'

/** `log`: what a test kit showed, entered by the same door as readings. */
export const logVerb: Verb = {
  name: 'log',
  usage: '<signal> <value...>',
  summary: 'enter a test-kit result: it is judged, computed with and kept like a reading',
  example: 'bellwater log tank-1/total_ammonia_nitrogen 0.8 mg/L --by first-keeper',
  options(command) {
    command
      .option('--by <person>', 'who measured it')
      .option('--at <time>', 'when the sample was taken (RFC 3339); now when left out')
  },
  async run([signal = '', ...value], options, terminal) {
    const parts = signalParts(signal)
    if (parts === null)
      throw new Fault('BW_USAGE', `"${signal}" is no signal`, 'write place/quantity, for example tank-1/ph')
    const measure = parseMeasure(value.join(' '))
    const { settings, plan } = loadFarm(options, terminal)
    const quantity = plan.quantities.get(parts.quantity)
    const { by, at } = options.own as { by?: string; at?: string }
    const told = (await daemonClient(settings).post('/api/log', {
      ...parts,
      value: measure.value,
      unit: measure.unit === '1' && quantity?.unit === '[pH]' ? '[pH]' : measure.unit,
      ...(by === undefined ? {} : { by }),
      ...(at === undefined ? {} : { at }),
    })) as { text: string }
    terminal.out(options.json ? `${JSON.stringify(told)}\n` : `${told.text}\n`)
    return 0
  },
}
