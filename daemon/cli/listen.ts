import { existsSync, writeFileSync } from 'node:fs'
import { decoderFor, loginOf } from '../assembly/ears.js'
import { Fault } from '../errors.js'
import { eavesdrop, type EavesdropOptions } from '../mqtt/eavesdrop.js'
import type { Settings } from '../settings/schema.js'
import { onSignals } from '../system/signals.js'
import { converter, parseMeasure } from '../units/convert.js'
import { epochMs, milliseconds, type Milliseconds } from '../units/time.js'
import { heardLines } from './heard-lines.js'
import { draftBook, draftYaml } from './listen-drafts.js'
import { loadFarm } from './load-farm.js'
import type { Terminal, Verb } from './verb.js'

/** `listen`: what arrives on the broker, mapped or not, and at the end draft entries for what is not mapped. */
export const listenVerb: Verb = {
  name: 'listen',
  usage: '',
  summary: 'show live what arrives on the broker, and draft probe entries for what is not mapped yet',
  example: 'bellwater listen --for 1min --draft new-probes.yaml',
  options(command) {
    command
      .option('--for <span>', 'stop after this time (30s, 5min); without it at Ctrl-C')
      .option('--count <number>', 'stop after so many messages')
      .option('--topic <filter>', 'an MQTT topic filter, such as larkfield/#', '#')
      .option('--draft <file>', 'write the draft entries to this file instead of the terminal')
  },
  async run(_args, options, terminal) {
    const wish = wishOf(options.own)
    // Said before an hour of listening, not after it.
    if (wish.draft !== null && existsSync(wish.draft)) throw isThere(wish.draft)
    const farm = loadFarm(options, terminal)
    const drafts = draftBook(farm.plan)
    const lines = heardLines({ decoder: decoderFor(farm), plan: farm.plan, json: options.json })
    const broken = await untilEnough(wish, farm.settings, terminal, (message) => {
      const at = epochMs(Date.now())
      const told = lines(message, at)
      if (told.isStranger) drafts.note(message, at)
      for (const line of told.lines) terminal.out(`${line}\n`)
    })
    const entries = drafts.entries()
    if (wish.draft !== null) writeDraft(wish.draft, draftYaml(entries))
    else if (options.json) terminal.out(`${JSON.stringify({ kind: 'draft', probes: entries })}\n`)
    else if (entries.length > 0) terminal.out(`\n${draftYaml(entries)}`)
    terminal.err(`${entries.length} draft entries${wish.draft === null ? '' : ` in ${wish.draft}`}\n`)
    return broken ? 1 : 0
  },
}

interface Wish {
  readonly for: Milliseconds | null
  readonly count: number
  readonly topic: string
  readonly draft: string | null
}

function wishOf(own: Readonly<Record<string, unknown>>): Wish {
  const text = (key: string): string | null => (typeof own[key] === 'string' ? own[key] : null)
  const count = text('count')
  if (count !== null && !/^[1-9]\d{0,8}$/.test(count)) {
    throw new Fault('BW_USAGE', `--count ${count}: a whole number from 1 on is due`)
  }
  const span = text('for')
  return {
    for: span === null ? null : spanOf(span),
    count: count === null ? Infinity : Number(count),
    topic: text('topic') ?? '#',
    draft: text('draft'),
  }
}

/** The longest that a timer of Node.js waits; longer ones fire at once (Node.js documentation, Timers). */
const spanMax = 2 ** 31 - 1

function spanOf(text: string): Milliseconds {
  const { value, unit } = parseMeasure(text)
  const span = converter(unit, 'ms')(value)
  if (!(span > 0 && span <= spanMax)) {
    throw new Fault(
      'BW_USAGE',
      `--for ${text}: more than nothing and at most 24 days`,
      'write for example 30s or 5min',
    )
  }
  return milliseconds(span)
}

/** Listens until the time is up, enough has come, or it is interrupted. True when the connection broke before that. */
function untilEnough(
  wish: Wish,
  settings: Settings,
  terminal: Terminal,
  hear: EavesdropOptions['heard'],
): Promise<boolean> {
  return new Promise((resolve, reject) => {
    let heard = 0
    let close = (): Promise<void> => Promise.resolve()
    let isOver = false
    const timer = wish.for === null ? undefined : setTimeout(() => end(false), wish.for)
    const off = onSignals({ stop: () => end(false), reload: () => undefined })
    function end(broken: boolean): void {
      if (isOver) return
      isOver = true
      clearTimeout(timer)
      off()
      if (broken) terminal.err('the connection to the broker is lost\n')
      close().then(() => resolve(broken), reject)
    }
    eavesdrop({
      ...whereTo(settings),
      filter: wish.topic,
      lost: () => end(true),
      heard: (message) => {
        if (isOver) return
        hear(message)
        heard += 1
        if (heard >= wish.count) end(false)
      },
    }).then(
      (listening) => {
        if (isOver) return void listening.close()
        close = () => listening.close()
        terminal.err(`listening on ${whereTo(settings).url} to ${wish.topic}\n`)
      },
      (cause: unknown) => {
        clearTimeout(timer)
        off()
        reject(cause)
      },
    )
  })
}

/** The broker that the watch uses; its own one is reached like any other. */
function whereTo({ broker }: Settings): Pick<EavesdropOptions, 'url' | 'username' | 'password' | 'tls'> {
  if (broker.url !== undefined) {
    return {
      url: broker.url,
      username: broker.username ?? null,
      password: broker.password ?? null,
      tls: { ca: broker.ca ?? null, cert: broker.cert ?? null, key: broker.key ?? null },
    }
  }
  const { host, port } = broker.embedded?.listen ?? { host: '127.0.0.1', port: 1883 }
  const login = loginOf(broker.embedded)
  const near =
    host === '0.0.0.0' ? '127.0.0.1' : host === '::' ? '[::1]' : host.includes(':') ? `[${host}]` : host
  return {
    url: `mqtt://${near}:${port}`,
    username: login?.username ?? null,
    password: login?.password ?? null,
    tls: { ca: null, cert: null, key: null },
  }
}

const isThere = (file: string): Fault =>
  new Fault('BW_USAGE', `--draft ${file} is there already`, 'name another file')

function writeDraft(file: string, text: string): void {
  try {
    writeFileSync(file, text, { flag: 'wx' })
  } catch (cause) {
    if (cause instanceof Error && 'code' in cause && cause.code === 'EEXIST') throw isThere(file)
    throw new Fault('BW_USAGE', `--draft ${file} cannot be written`, 'name another file', { cause })
  }
}
