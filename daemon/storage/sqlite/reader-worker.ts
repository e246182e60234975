import { parentPort, workerData } from 'node:worker_threads'
import { assert, Fault, type FaultCode } from '../../errors.js'
import { openForReading, type Connection } from './connection.js'
import { storeFault } from './faults.js'
import { answer, type Answers, type Question } from './history-queries.js'

/** The reading thread: takes one question after the other. Started by `reader-thread.ts` only. */

export interface Asked {
  readonly id: number
  readonly question: Question
}

/** An Error would lose its class on the way; a Fault is more than its message. */
export type Answered =
  | { readonly id: number; readonly kind: 'answer'; readonly answer: Answers[Question['kind']] }
  | {
      readonly id: number
      readonly kind: 'fault'
      readonly code: FaultCode
      readonly message: string
      readonly hint: string
    }

const { file } = workerData as { readonly file: string }
let db: Connection | null = null

function replyTo({ id, question }: Asked): Answered {
  try {
    db ??= openForReading(file)
    return { id, kind: 'answer', answer: answer(db, question) }
  } catch (thrown) {
    const { code, message, hint } = thrown instanceof Fault ? thrown : storeFault(file, 'reading', thrown)
    return { id, kind: 'fault', code, message, hint }
  }
}

const port = parentPort
assert(port !== null, 'reader-worker.ts runs as a thread only')
port.on('message', (message: Asked | 'close') => {
  if (message !== 'close') return port.postMessage(replyTo(message))
  db?.close()
  port.close()
})
