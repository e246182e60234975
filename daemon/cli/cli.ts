import { Command, CommanderError } from 'commander'
import { Fault } from '../errors.js'
import { alarmsVerb } from './alarms.js'
import { ackVerb, shelveVerb } from './answer-alarm.js'
import { calc } from './calc.js'
import { check } from './check.js'
import { correctVerb } from './correct.js'
import { generate } from './generate.js'
import { howVerb } from './how.js'
import { listenVerb } from './listen.js'
import { logVerb } from './log.js'
import { peopleVerb } from './people.js'
import { recomputeVerb } from './recompute.js'
import { rehearseVerb } from './rehearse.js'
import { reviewVerb } from './review.js'
import { runVerb } from './run.js'
import type { ExitCode, Terminal, Verb } from './verb.js'

const verbs: readonly Verb[] = [
  runVerb,
  calc,
  howVerb,
  check,
  generate,
  reviewVerb,
  rehearseVerb,
  alarmsVerb,
  ackVerb,
  shelveVerb,
  listenVerb,
  logVerb,
  correctVerb,
  recomputeVerb,
  peopleVerb,
]

/** Runs one command line and says how it ended. Never throws. */
export async function runCli(argv: readonly string[], terminal: Terminal = ownTerminal()): Promise<ExitCode> {
  let ended: ExitCode = 0
  const program = new Command('bellwater')
    .description('Watches the water of a small aquaponics greenhouse and wakes the right person.')
    .exitOverride()
    .configureOutput({ writeOut: terminal.out, writeErr: terminal.err })
    .showHelpAfterError('(--help shows what can be typed)')
  for (const verb of verbs) {
    const command = program
      .command(`${verb.name} ${verb.usage}`.trim())
      .description(verb.summary)
      .option('--config <file>', 'configuration file (default: $BELLWATER_CONFIG or config/bellwater.yaml)')
      .option('--json', 'print results as JSON', false)
      .addHelpText('after', `\nExample:\n  ${verb.example}\n`)
      .allowExcessArguments(verb.usage.includes('...'))
    verb.options(command)
    command.action(async () => {
      const { config, json, ...own } = command.opts<{ config?: string; json: boolean }>()
      const file = config ?? terminal.env['BELLWATER_CONFIG'] ?? 'config/bellwater.yaml'
      ended = await verb.run(command.args, { config: file, json, own }, terminal)
    })
  }
  try {
    await program.parseAsync(argv, { from: 'user' })
    return ended
  } catch (cause) {
    return explain(cause, terminal)
  }
}

/** Faults that are the user's to mend end with 2, those of the world with 1. */
const usersOwn = new Set(['BW_CONFIG', 'BW_USAGE', 'BW_SCRIPT', 'BW_UNIT', 'BW_CALC'])

function explain(cause: unknown, terminal: Terminal): ExitCode {
  if (cause instanceof CommanderError) return cause.exitCode === 0 ? 0 : 2
  if (cause instanceof Fault) {
    terminal.err(`${cause.message}\n${cause.hint === '' ? '' : `  ${cause.hint}\n`}`)
    return usersOwn.has(cause.code) ? 2 : 1
  }
  terminal.err(`${cause instanceof Error ? (cause.stack ?? cause.message) : String(cause)}\n`)
  return 1
}

function ownTerminal(): Terminal {
  // Whoever reads us may stop reading (`… | head`): that is no fault of ours.
  process.stdout.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code === 'EPIPE') process.exit(0)
    throw error
  })
  return {
    out: (text) => void process.stdout.write(text),
    err: (text) => void process.stderr.write(text),
    env: process.env,
    width: process.stdout.columns ?? 80,
  }
}
