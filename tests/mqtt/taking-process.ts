import { fork } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import { Told } from './told.js'

export interface TakingProcess {
  readonly said: Told<unknown>
  took(): readonly unknown[]
  /** As a power cut would. */
  kill(): Promise<void>
}

/** Starts `taker.ts`: a daemon's ears that never commit. */
export async function takingProcess(kind: 'outside' | 'embedded', port: number): Promise<TakingProcess> {
  const file = fileURLToPath(new URL('taker.ts', import.meta.url))
  const child = fork(file, [kind, String(port)], { execArgv: ['--import', 'tsx'] })
  const said = new Told<unknown>()
  child.on('message', said.tell)
  const ended = new Promise<void>((resolve) => child.once('exit', () => resolve()))
  await Promise.race([said.count(1), ended.then(() => Promise.reject(new Error('the taking process ended')))])
  return {
    said,
    took: () => said.all.flatMap((what) => (isTook(what) ? what.took : [])),
    kill() {
      child.kill('SIGKILL')
      return ended
    },
  }
}

const isTook = (what: unknown): what is { readonly took: readonly unknown[] } =>
  typeof what === 'object' && what !== null && 'took' in what
