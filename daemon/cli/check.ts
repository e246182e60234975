import { epochMs } from '../units/time.js'
import { checkReport } from './check-report.js'
import { checkText } from './check-text.js'
import { loadFarm } from './load-farm.js'
import type { Verb } from './verb.js'

/** Below this a table of alarms cannot be read; above it lines are too long for the eye. */
const widths = { least: 60, most: 100 }

/**
 * `check`: what is wrong with a configuration (exit 2), else what it watches, when it calls whom, and what it could not
 * see. Exit 1 when it is valid and the fish of a tank cannot be watched all the same.
 */
export const check: Verb = {
  name: 'check',
  usage: '',
  summary: 'say what is wrong with the configuration, or what is watched, who is called and what goes unseen',
  example: 'bellwater check --config config/bellwater.yaml',
  options() {},
  run(_args, options, terminal) {
    const report = checkReport(loadFarm(options, terminal), epochMs(Date.now()))
    const width = Math.min(Math.max(terminal.width, widths.least), widths.most)
    terminal.out(options.json ? `${JSON.stringify(report, null, 2)}\n` : checkText(report, width))
    return Promise.resolve(report.unwatched.length === 0 ? 0 : 1)
  },
}
