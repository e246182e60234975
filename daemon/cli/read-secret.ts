import { createInterface } from 'node:readline/promises'
import { Writable } from 'node:stream'

/**
 * A secret from whoever runs the command: typed unseen at a terminal, or the first line of what is piped in. Secrets are
 * never arguments, which anyone on the machine can see.
 */
export async function readSecret(prompt: string, tell: (text: string) => void): Promise<string> {
  const typed = process.stdin.isTTY
  if (typed) tell(prompt)
  const nowhere = new Writable({ write: (_chunk, _encoding, done) => done() })
  const lines = createInterface({ input: process.stdin, output: nowhere, terminal: typed })
  try {
    for await (const line of lines) return line
    return ''
  } finally {
    lines.close()
    if (typed) tell('\n')
  }
}
