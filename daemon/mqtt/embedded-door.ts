import { createServer, type AddressInfo, type Server, type Socket } from 'node:net'
import { Fault } from '../errors.js'
import { packetGuard, packetMax } from './packet-guard.js'

/** Clients at once. A farm has some tens; each may hold one chunk of 64 KiB in flight. */
export const connectionsMax = 250

export interface Door {
  readonly address: string
  readonly port: number
  close(): Promise<void>
}

export interface DoorOptions {
  readonly host: string
  readonly port: number
  readonly enter: (socket: Socket) => void
  /** Someone was turned away, and why. */
  readonly turnedAway: (from: string, why: string) => void
  /** The door itself broke. */
  readonly broke: (why: string) => void
}

/** Opens the port. Throws BW_LISTEN when that is not possible, with what to change. */
export function openDoor(options: DoorOptions): Promise<Door> {
  const sockets = new Set<Socket>()
  const server = createServer({ noDelay: true }, (socket) => {
    sockets.add(socket)
    socket.once('close', () => sockets.delete(socket))
    guardPackets(socket, options)
    options.enter(socket)
  })
  server.maxConnections = connectionsMax
  server.on('drop', (from) =>
    options.turnedAway(from?.remoteAddress ?? '?', `more than ${connectionsMax} clients at once`),
  )
  return new Promise((resolve, reject) => {
    server.once('error', (error) => reject(cannotListen(error, options)))
    server.listen({ host: options.host, port: options.port }, () => {
      server.removeAllListeners('error')
      server.on('error', (error) => options.broke(`our own broker: ${error.message}`))
      const { address, port } = server.address() as AddressInfo
      resolve({ address: `${address}:${port}`, port, close: () => closed(server, sockets) })
    })
  })
}

/**
 * The broker library reads its sockets by `read()` and has no ceiling for a packet, so the guard looks at what passes
 * there. A listener for `data` would take the bytes away from it.
 */
function guardPackets(socket: Socket, { turnedAway }: DoorOptions): void {
  const guard = packetGuard()
  const read = socket.read.bind(socket)
  socket.read = (size?: number): unknown => {
    const chunk: unknown = read(size)
    if (!(chunk instanceof Uint8Array) || guard(chunk)) return chunk
    turnedAway(socket.remoteAddress ?? '?', `it sent a packet of more than ${packetMax} bytes`)
    socket.destroy()
    return null
  }
}

/** Also hangs up on those who connected and never said who they are; the broker does not know of them. */
function closed(server: Server, sockets: ReadonlySet<Socket>): Promise<void> {
  return new Promise((resolve) => {
    server.close(() => resolve())
    for (const socket of sockets) socket.destroy()
  })
}

function cannotListen(error: NodeJS.ErrnoException, { host, port }: DoorOptions): Fault {
  const [why, hint] = words[error.code ?? ''] ?? [error.message, 'choose another address or port']
  return new Fault('BW_LISTEN', `broker.embedded.listen ${host}:${port}: ${why}`, hint, { cause: error })
}

const noAddress = [
  'this machine has no such address',
  'use 127.0.0.1, or 0.0.0.0 with a username and password',
] as const
const words: Readonly<Record<string, readonly [why: string, hint: string]>> = {
  EADDRINUSE: [
    'the port is taken by another program',
    'stop that program, choose another port, or, if it is a broker, use it with broker.url in place of broker.embedded',
  ],
  EACCES: ['we may not use this port', 'choose one from 1024 on'],
  EADDRNOTAVAIL: noAddress,
  ENOTFOUND: noAddress,
}
