import { execFileSync, spawn, type ChildProcess } from 'node:child_process'
import { accessSync, constants, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { connect } from 'node:net'
import { tmpdir } from 'node:os'
import { delimiter, join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { freePort } from './free-port.js'

// Real services for integration tests. Each test starts its own, on a free port of 127.0.0.1, in a folder of its own,
// and stops it again.

/** Programs that tests use, and the Debian package that has them. */
const packages = {
  mosquitto: 'mosquitto',
  mosquitto_pub: 'mosquitto-clients',
  mosquitto_sub: 'mosquitto-clients',
  mosquitto_ctrl: 'mosquitto',
  mosquitto_passwd: 'mosquitto',
  influxd: 'influxdb',
  smtpd: 'opensmtpd',
  socat: 'socat',
  openssl: 'openssl',
} as const

export type Program = keyof typeof packages

/** Where the program is; null when this machine has it not. */
export function find(program: Program): string | null {
  const folders = [...(process.env['PATH'] ?? '').split(delimiter), '/usr/sbin', '/usr/local/sbin', '/sbin']
  for (const folder of folders) {
    const path = join(folder, program)
    try {
      accessSync(path, constants.X_OK)
      return path
    } catch {
      continue
    }
  }
  return null
}

/** As `find`, and installs the package where that is possible (Debian, as root). */
function findOrInstall(program: Program): string | null {
  const found = find(program)
  if (found !== null || process.getuid?.() !== 0) return found
  const install = [
    '-o',
    'DPkg::Lock::Timeout=120',
    'install',
    '-y',
    '--no-install-recommends',
    packages[program],
  ]
  const quiet = { stdio: 'ignore', env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' } } as const
  try {
    execFileSync('apt-get', install, quiet)
  } catch {
    try {
      execFileSync('apt-get', ['update'], quiet)
      execFileSync('apt-get', install, quiet)
    } catch {
      return null
    }
  }
  return find(program)
}

/** The program's path, for tests inside `describeWith`. */
export function program(name: Program): string {
  const path = find(name)
  if (path === null) throw new Error(`${name} is not installed; use describeWith(['${name}'], …)`)
  return path
}

/**
 * A `describe` that needs programs of this machine. Where one is missing and cannot be installed, it fails in CI;
 * elsewhere it says loudly that these tests were not run.
 */
export function describeWith(needed: readonly Program[], title: string, tests: () => void): void {
  const missing = needed.filter((name) => findOrInstall(name) === null)
  if (missing.length === 0) {
    describe(title, tests)
  } else if (process.env['CI'] === 'true') {
    describe(title, () => {
      it(`needs ${missing.join(', ')}`, () => expect(missing).toEqual([]))
    })
  } else {
    process.stderr.write(
      `\n*** NOT RUN: "${title}" needs ${missing.map((name) => packages[name]).join(', ')} ***\n\n`,
    )
    describe.skip(title, tests)
  }
}

export interface Service {
  readonly port: number
  readonly pid: number
  /** What it printed so far. */
  output(): string
  /** Waits until it has printed something like this. */
  prints(form: RegExp): Promise<void>
  /** Ends it politely (SIGTERM) and waits until it is gone. */
  stop(): Promise<void>
  /** As a power cut would (SIGKILL). */
  kill(): Promise<void>
}

export interface Start {
  readonly command: string
  readonly args: readonly string[]
  /** The TCP port that it opens when it is ready. */
  readonly port: number
  readonly env?: Readonly<Record<string, string>>
}

const running = new Set<ChildProcess>()
process.once('exit', () => {
  for (const child of running) child.kill('SIGKILL')
})

/** Starts a program that stays in the foreground and waits until its port is open. Fails when it ends before that. */
export async function start({ command, args, port, env }: Start): Promise<Service> {
  const child = spawn(command, args, { stdio: ['ignore', 'pipe', 'pipe'], env: { ...process.env, ...env } })
  running.add(child)
  let output = ''
  const readers = new Set<() => void>()
  const print = (chunk: Buffer) => {
    output += chunk.toString()
    for (const read of readers) read()
  }
  child.stdout.on('data', print)
  child.stderr.on('data', print)
  const prints = (form: RegExp) =>
    new Promise<void>((resolve) => {
      const read = () => {
        if (!form.test(output)) return
        readers.delete(read)
        resolve()
      }
      readers.add(read)
      read()
    })
  const ended = new Promise<void>((resolve) => {
    child.once('error', (error) => {
      output += error.message
      resolve()
    })
    child.once('exit', () => resolve())
  }).then(() => void running.delete(child))
  const end = (signal: NodeJS.Signals) => {
    child.kill(signal)
    return ended
  }
  const isOpen = await Promise.race([portOpens(port, () => running.has(child)), ended.then(() => false)])
  if (!isOpen) throw new Error(`${command} ${args.join(' ')} did not open port ${port}:\n${output}`)
  return {
    port,
    pid: child.pid ?? 0,
    output: () => output,
    prints,
    stop: () => end('SIGTERM'),
    kill: () => end('SIGKILL'),
  }
}

/** Tries until the port answers or nobody is left to open it. */
async function portOpens(port: number, isWorthwhile: () => boolean): Promise<boolean> {
  while (isWorthwhile()) {
    const isOpen = await new Promise<boolean>((resolve) => {
      const socket = connect({ host: '127.0.0.1', port })
      socket.once('connect', () => resolve(true))
      socket.once('error', () => resolve(false))
      socket.once('connect', () => socket.destroy())
    })
    if (isOpen) return true
    await new Promise((resolve) => setTimeout(resolve, 10))
  }
  return false
}

/** A new folder for one test; `remove` takes it away. */
export function temporaryFolder(): { readonly path: string; remove(): void } {
  const path = mkdtempSync(join(tmpdir(), 'bellwater-test-'))
  return { path, remove: () => rmSync(path, { recursive: true, force: true }) }
}

export interface Mosquitto extends Service {
  readonly folder: string
  /** Starts it again after `stop` or `kill`, on the same port; with the same folder it knows what it stored. */
  again(): Promise<Mosquitto>
  /** Ends it if it still runs, and removes its folder. */
  close(): Promise<void>
}

export interface MosquittoOptions {
  /** Lines of mosquitto.conf beyond the listener; `%folder%` stands for its folder. Anonymous access unless they say otherwise. */
  readonly lines?: readonly string[]
  /** What the listener needs (certfile …). */
  readonly listenerLines?: readonly string[]
  readonly port?: number
  /** Called with the folder before the start: puts files there. */
  readonly prepare?: (folder: string) => void
}

/** Starts a mosquitto of its own. It keeps nothing over a restart unless the lines say `persistence true`. */
export async function startMosquitto(options: MosquittoOptions = {}): Promise<Mosquitto> {
  const folder = temporaryFolder()
  const port = options.port ?? (await freePort())
  options.prepare?.(folder.path)
  const lines = options.lines ?? []
  const isOpen = !lines.some((line) => /^(allow_anonymous|password_file|plugin)\b/.test(line))
  const file = join(folder.path, 'mosquitto.conf')
  // Started as root it would become another user, who could not read the files made here.
  const user = process.getuid?.() === 0 ? ['user root'] : []
  const own = isOpen ? ['allow_anonymous true'] : []
  const listener = [`listener ${port} 127.0.0.1`, ...(options.listenerLines ?? [])]
  const text = [...user, ...own, ...lines, ...listener].join('\n').replaceAll('%folder%', folder.path)
  writeFileSync(file, `${text}\n`)
  const run = async (): Promise<Mosquitto> => {
    const service = await start({ command: program('mosquitto'), args: ['-c', file, '-v'], port })
    const close = async () => {
      await service.stop()
      folder.remove()
    }
    return { ...service, folder: folder.path, again: run, close }
  }
  return run()
}
