import type { Running } from '../assembly/assemble.js'
import { assemble } from '../assembly/assemble.js'
import { Fault } from '../errors.js'
import type { Log } from '../ports/log.js'
import { differences } from '../settings/differences.js'
import { systemClock, type SystemClock } from '../system/clock.js'
import { fasterMachine } from '../system/faster-machine.js'
import { createLogger } from '../system/logger.js'
import { onSignals } from '../system/signals.js'
import { loadFarm, type LoadedFarm } from './load-farm.js'
import { openPractice, type Practice } from './practice.js'
import type { ExitCode, Terminal, Verb, VerbOptions } from './verb.js'
import { welcome } from './welcome.js'

/** A stop that takes longer than this is cut short: everything that matters is on disk already. */
const stopWithin = 4500

/** `run`: the watch, until SIGTERM (contract 2). */
export const runVerb: Verb = {
  name: 'run',
  usage: '',
  summary: 'the watch: listens, judges, alarms and calls until it is stopped',
  example: 'bellwater run --config config/bellwater.yaml',
  options() {
    // Everything is in the configuration.
  },
  async run(_args, options, terminal) {
    const first = loadFarm(options, terminal)
    const log = createLogger({ level: first.settings.log.level })
    const { practice } = first.settings
    const clock = systemClock(
      practice.enabled && practice.speed !== 1 ? fasterMachine(practice.speed) : undefined,
    )
    let staged: Practice | null = null
    const running = await assemble({ configuration: first, clock, log, stage: () => staged?.stage() ?? null })
    if (practice.enabled)
      staged = openPractice({ settings: first.settings, broker: running.broker, clock, log, terminal })
    terminal.out(welcome(first, running, staged !== null))
    const ended = await untilStopped({ first, options, terminal, running, log })
    await stopped(running, staged, clock)
    return ended
  },
}

interface Life {
  readonly first: LoadedFarm
  readonly options: VerbOptions
  readonly terminal: Terminal
  readonly running: Running
  readonly log: Log
}

function untilStopped({ first, options, terminal, running, log }: Life): Promise<ExitCode> {
  let current = first
  return new Promise((resolve) => {
    const off = onSignals({
      stop: (signal, times) => {
        log.info({ signal, times }, 'stopping')
        if (times > 1) process.exit(1)
        off()
        resolve(0)
      },
      reload: () => {
        const next = reread(options, terminal, log)
        if (next === null) return
        running.reload(next, changeOf(current, next))
        current = next
        log.info({}, 'the new configuration is in force')
      },
    })
  })
}

/** Whole or not at all: a configuration with a mistake changes nothing, and the mistake is told. */
function reread(options: VerbOptions, terminal: Terminal, log: Log): LoadedFarm | null {
  try {
    return loadFarm(options, terminal)
  } catch (cause) {
    if (!(cause instanceof Fault)) throw cause
    log.error(
      { code: cause.code, why: cause.message },
      'the new configuration is refused; the old one stays in force',
    )
    return null
  }
}

const changeOf = (before: LoadedFarm, now: LoadedFarm) => ({
  by: 'configuration file',
  why: 'reload',
  differences: differences(before.loaded, now.loaded),
})

async function stopped(running: Running, staged: Practice | null, clock: SystemClock): Promise<void> {
  const late = setTimeout(() => process.exit(0), stopWithin)
  late.unref()
  await staged?.close()
  await running.close()
  clock.close()
}
