import { spawn, type ChildProcessByStdio } from 'node:child_process'
import type { Readable, Writable } from 'node:stream'
import { createInterface } from 'node:readline'
import { fileURLToPath } from 'node:url'

export interface Child {
  readonly process: ChildProcessByStdio<Writable, Readable, null>
  /** Everything that it wrote, line by line, also what was in the pipe when it was killed. */
  readonly lines: AsyncIterableIterator<string>
  readonly ended: Promise<{ readonly code: number | null; readonly signal: NodeJS.Signals | null }>
}

/** Starts a program of this folder in a process of its own. `limit`: a shell command put before it, such as `ulimit`. */
export function startChild(name: string, args: readonly string[], limit = 'true'): Child {
  const program = fileURLToPath(new URL(`./${name}.ts`, import.meta.url))
  const command = [process.execPath, '--import', import.meta.resolve('tsx'), program, ...args]
  const child = spawn('/bin/sh', ['-c', `${limit}; exec "$@"`, 'sh', ...command], {
    stdio: ['pipe', 'pipe', 'inherit'],
  })
  const ended = new Promise<{ code: number | null; signal: NodeJS.Signals | null }>((resolve) => {
    child.on('exit', (code, signal) => resolve({ code, signal }))
  })
  return { process: child, lines: createInterface({ input: child.stdout })[Symbol.asyncIterator](), ended }
}

/** The next line; fails when there is none any more. */
export async function nextLine(child: Child): Promise<string> {
  const { value, done } = await child.lines.next()
  if (done === true) throw new Error('the child ended without a word')
  return value
}
