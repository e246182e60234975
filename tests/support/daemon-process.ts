import { spawn, type ChildProcess } from 'node:child_process'
import { once } from 'node:events'
import { existsSync } from 'node:fs'
import { fileURLToPath } from 'node:url'

const main = fileURLToPath(new URL('../../dist/daemon/main.js', import.meta.url))

export interface DaemonProcess {
  readonly child: ChildProcess
  /** Resolves when the page answers, with how long that took in ms. */
  readonly answers: Promise<number>
  output(): string
  kill(signal: NodeJS.Signals): Promise<void>
}

/** Starts the built daemon (`npm run build` made it) on a configuration, as a user would. */
export function startDaemon(config: string, page: string): DaemonProcess {
  if (!existsSync(main)) throw new Error('dist/ is missing: npm run build')
  const child = spawn(process.execPath, [main, 'run', '--config', config], {
    stdio: ['ignore', 'pipe', 'pipe'],
  })
  let output = ''
  child.stdout.on('data', (chunk: Buffer) => (output += chunk.toString()))
  child.stderr.on('data', (chunk: Buffer) => (output += chunk.toString()))
  const ended = once(child, 'exit')
  return {
    child,
    answers: answering(page, child, () => output),
    output: () => output,
    kill: async (signal) => {
      child.kill(signal)
      await ended
    },
  }
}

async function answering(page: string, child: ChildProcess, output: () => string): Promise<number> {
  const began = performance.now()
  for (;;) {
    if (child.exitCode !== null) throw new Error(`the daemon ended with ${child.exitCode}:\n${output()}`)
    const answer = await fetch(`${page}/healthz`).catch(() => null)
    if (answer?.ok === true) return performance.now() - began
    await new Promise((resolve) => setTimeout(resolve, 20))
  }
}
