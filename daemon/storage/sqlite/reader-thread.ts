import { createRequire } from 'node:module'
import { pathToFileURL } from 'node:url'
import { Worker } from 'node:worker_threads'
import { Fault } from '../../errors.js'
import type {
  CallRecord,
  History,
  JournalLine,
  RecordedReading,
  Sample,
  Stretch,
} from '../../ports/history.js'
import type { SignalName } from '../../readings/signal.js'
import { after, milliseconds, type EpochMs, type Milliseconds } from '../../units/time.js'
import type { Answers, Question } from './history-queries.js'
import type { Answered, Asked } from './reader-worker.js'

/** Questions waiting at a time: more than every page of a farm at once asks; beyond, someone asks in a loop. */
export const waitingMax = 100

/**
 * The record, read on a thread of its own over a connection of its own, so that a year of curves never holds up the
 * watch. The thread starts with the first question, and anew with the next one should it ever end by itself.
 * Questions reject with a Fault `BW_STORE` when the store cannot be read.
 */
export function openHistory(file: string): History {
  return new ReaderThread(file)
}

interface Waiting {
  readonly resolve: (answer: Answers[Question['kind']]) => void
  readonly reject: (fault: Fault) => void
}

class ReaderThread implements History {
  #worker: Worker | null = null
  #ended: Promise<void> = Promise.resolve()
  #closed = false
  #nextId = 1
  readonly #waiting = new Map<number, Waiting>()

  constructor(readonly file: string) {}

  samples(signal: SignalName, from: EpochMs, to: EpochMs, atMost: number): Promise<readonly Sample[]> {
    return this.#ask({ kind: 'samples', signal, from, to, atMost, raw: false })
  }

  rawSamples(signal: SignalName, from: EpochMs, to: EpochMs, atMost: number): Promise<readonly Sample[]> {
    return this.#ask({ kind: 'samples', signal, from, to, atMost, raw: true })
  }

  readings(signals: readonly SignalName[], from: EpochMs, to: EpochMs, atMost: number): Promise<Stretch> {
    return this.#ask({ kind: 'readings', signals, from, to, atMost })
  }

  usableBefore(
    signals: readonly SignalName[],
    before: EpochMs,
    reach: Milliseconds,
  ): Promise<readonly RecordedReading[]> {
    const from = after(before, milliseconds(-reach))
    return this.#ask({ kind: 'usable-before', signals, from, to: before })
  }

  journal(from: EpochMs, to: EpochMs, atMost: number, about?: string): Promise<readonly JournalLine[]> {
    return this.#ask({ kind: 'journal', from, to, atMost, about: about ?? null })
  }

  calls(from: EpochMs, to: EpochMs, atMost: number): Promise<readonly CallRecord[]> {
    return this.#ask({ kind: 'calls', from, to, atMost })
  }

  /** What was asked before is still answered. */
  async close(): Promise<void> {
    this.#closed = true
    this.#worker?.postMessage('close')
    await this.#ended
  }

  async #ask<Kind extends Question['kind']>(
    question: Extract<Question, { readonly kind: Kind }>,
  ): Promise<Answers[Kind]> {
    if (this.#closed) throw new Fault('BW_STORE', `${this.file}: no longer open for reading`, '')
    if (this.#waiting.size >= waitingMax)
      throw new Fault(
        'BW_STORE',
        `${this.file}: ${waitingMax} questions are waiting already`,
        'ask again later',
      )
    const id = this.#nextId
    this.#nextId += 1
    const worker = (this.#worker ??= this.#start())
    const answered = new Promise<Answers[Question['kind']]>((resolve, reject) => {
      this.#waiting.set(id, { resolve, reject })
    })
    worker.postMessage({ id, question } satisfies Asked)
    // The thread answers each kind of question with its own kind of answer (`history-queries.ts`).
    return (await answered) as Answers[Kind]
  }

  #start(): Worker {
    const worker = startWorker({ file: this.file })
    worker.on('message', (message: Answered) => this.#take(message))
    this.#ended = new Promise((resolve) => {
      let why = 'it ended'
      worker.on('error', (error) => {
        why = error instanceof Error ? error.message : String(error)
      })
      worker.on('exit', () => {
        if (this.#worker === worker) this.#worker = null
        this.#giveUp(why)
        resolve()
      })
    })
    return worker
  }

  #take(message: Answered): void {
    const waiting = this.#waiting.get(message.id)
    this.#waiting.delete(message.id)
    if (message.kind === 'answer') waiting?.resolve(message.answer)
    else waiting?.reject(new Fault(message.code, message.message, message.hint))
  }

  #giveUp(why: string): void {
    for (const { reject } of this.#waiting.values())
      reject(new Fault('BW_STORE', `${this.file}: the reading thread failed: ${why}`, 'ask again'))
    this.#waiting.clear()
  }
}

/** From `dist` the thread is plain JavaScript. From the sources (tests, tsx) it needs tsx, which threads do not inherit. */
function startWorker(workerData: { readonly file: string }): Worker {
  const compiled = import.meta.url.endsWith('.js')
  const thread = new URL(compiled ? './reader-worker.js' : './reader-worker.ts', import.meta.url)
  // None of our own flags: they were meant for the program that was started, not for a thread of it.
  const options = { workerData, execArgv: [] }
  if (compiled) return new Worker(thread, options)
  const loader = pathToFileURL(createRequire(import.meta.url).resolve('tsx'))
  const tsx = new URL('./esm/api/index.mjs', loader)
  const program = `import(${JSON.stringify(tsx.href)})
    .then(({ register }) => { register(); return import(${JSON.stringify(thread.href)}) })`
  return new Worker(program, { ...options, eval: true })
}
