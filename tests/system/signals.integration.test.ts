import { spawn } from 'node:child_process'
import { once } from 'node:events'
import { createInterface } from 'node:readline'
import { fileURLToPath } from 'node:url'
import { expect, it } from 'vitest'

it('tells hang-ups, counts requests to stop, and gives the usual effect back', async () => {
  const file = fileURLToPath(new URL('./children/listens-to-signals.ts', import.meta.url))
  const child = spawn(process.execPath, ['--import', import.meta.resolve('tsx'), file], {
    stdio: ['pipe', 'pipe', 'inherit'],
  })
  const ended = once(child, 'exit')
  const said: string[] = []
  // Each signal is sent when the answer to the one before has come: two at once could be merged.
  const next: Record<string, NodeJS.Signals> = {
    ready: 'SIGHUP',
    reload: 'SIGTERM',
    'stop SIGTERM 1': 'SIGINT',
    'stop SIGINT 2': 'SIGTERM',
  }
  for await (const line of createInterface({ input: child.stdout })) {
    said.push(line)
    const signal = next[line]
    if (signal !== undefined) child.kill(signal)
  }
  expect(said).toEqual(['ready', 'reload', 'stop SIGTERM 1', 'stop SIGINT 2'])
  expect(await ended).toEqual([null, 'SIGTERM'])
})
