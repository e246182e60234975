import { spawn, type ChildProcess } from 'node:child_process'
import { closeSync, constants, existsSync, openSync, watch } from 'node:fs'
import { createServer, type Socket } from 'node:net'
import { join } from 'node:path'
import { ModemCore } from './modem-core.js'
import { program, temporaryFolder } from './services.js'

/** A modem on a pseudo-terminal: what opens its device cannot tell it from a serial line. */
export interface ModemDouble {
  readonly core: ModemCore
  /** Where its devices appear. */
  readonly folder: string
  /** Resolves when the device of this name is there. */
  plug(name: string): Promise<void>
  /** Pulls it out; resolves when the device is gone. */
  unplug(): Promise<void>
  /** What the modem says by itself. */
  say(text: string): void
  /** Cuts everything that it says into single characters, each written for itself. */
  crumble(): void
  /** Resolves at the next command (or `text`, a message's end) like this. */
  hears(form: RegExp): Promise<void>
  close(): Promise<void>
}

interface Plugged {
  readonly socat: ChildProcess
  readonly gone: Promise<void>
  /** Keeps the terminal alive while nobody else has it open. */
  readonly held: number
}

export async function modemDouble(): Promise<ModemDouble> {
  const { path: folder, remove } = temporaryFolder()
  const core = new ModemCore()
  const listeners = new Set<(line: string) => void>()
  let socket: Socket | null = null
  let isCrumbling = false
  let plugged: Plugged | null = null

  const say = (text: string): void => {
    if (!isCrumbling) socket?.write(text, 'latin1')
    else for (const character of text) socket?.write(character, 'latin1')
  }
  const server = createServer({ noDelay: true }, (one) => {
    socket = one
    one.on('error', () => one.destroy())
    one.on('data', (octets) => {
      const heard = octets.toString('latin1')
      const before = core.commands.length
      say(core.hear(heard))
      const lines = [...core.commands.slice(before), ...(/[\x1a\x1b]/.test(heard) ? [heard] : [])]
      for (const line of lines) for (const listener of [...listeners]) listener(line)
    })
  })
  const address = join(folder, 'modem.socket')
  await new Promise<void>((resolve) => server.listen(address, resolve))

  const plug = async (name: string): Promise<void> => {
    const device = join(folder, name)
    const appears = appearance(folder, device)
    const socat = spawn(program('socat'), [`pty,raw,echo=0,link=${device}`, `UNIX-CONNECT:${address}`], {
      stdio: 'ignore',
    })
    const gone = new Promise<void>((resolve) => socat.once('exit', () => resolve()))
    await appears
    plugged = { socat, gone, held: openSync(device, constants.O_RDWR | constants.O_NOCTTY) }
  }
  const unplug = async (): Promise<void> => {
    const last = plugged
    plugged = null
    if (last === null) return
    last.socat.kill('SIGTERM')
    await last.gone
    closeSync(last.held)
  }
  return {
    core,
    folder,
    plug,
    unplug,
    say,
    crumble: () => void (isCrumbling = true),
    hears: (form) =>
      new Promise((resolve) => {
        const listener = (line: string): void => {
          if (!form.test(line)) return
          listeners.delete(listener)
          resolve()
        }
        listeners.add(listener)
      }),
    close: async () => {
      await unplug()
      socket?.destroy()
      await new Promise((resolve) => server.close(resolve))
      remove()
    },
  }
}

/** Resolves when the file is there. */
const appearance = (folder: string, file: string): Promise<void> =>
  new Promise((resolve) => {
    const watcher = watch(folder, () => {
      if (!existsSync(file)) return
      watcher.close()
      resolve()
    })
  })
