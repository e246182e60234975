import { createServer, type AddressInfo, type Server, type Socket } from 'node:net'
import { SMTPServer, type SMTPServerOptions } from 'smtp-server'
import type { EmailOptions } from '../../daemon/channels/options.js'
import { milliseconds } from '../../daemon/units/time.js'

export interface MailDouble {
  readonly port: number
  /** Raw messages that were taken. */
  readonly mails: string[]
  stop(): Promise<void>
}

/** A mail server that answers as a test wants it to; takes everything unless told otherwise. */
export async function mailDouble(options: SMTPServerOptions = {}, port = 0): Promise<MailDouble> {
  const mails: string[] = []
  const server = new SMTPServer({
    authOptional: true,
    disabledCommands: options.onAuth === undefined ? ['AUTH', 'STARTTLS'] : ['STARTTLS'],
    closeTimeout: 1,
    onData(stream, _session, done) {
      let text = ''
      stream.on('data', (chunk: Buffer) => (text += chunk.toString()))
      stream.on('end', () => {
        mails.push(text)
        done(null, 'queued as 1')
      })
    },
    ...options,
  })
  server.on('error', () => undefined)
  await new Promise<void>((listening) => server.listen(port, '127.0.0.1', () => listening()))
  const address = server.server.address() as AddressInfo
  return { port: address.port, mails, stop: () => new Promise((stopped) => server.close(() => stopped())) }
}

/** Speaks a script instead of SMTP: `answer` gets every line that the client sends, '' for the connection itself. */
export async function scriptedServer(
  answer: (line: string, socket: Socket) => void,
): Promise<{ readonly port: number; stop(): Promise<void> }> {
  const sockets = new Set<Socket>()
  const server: Server = createServer((socket) => {
    sockets.add(socket)
    socket.on('error', () => undefined)
    socket.on('close', () => sockets.delete(socket))
    socket.on('data', (chunk: Buffer) => {
      for (const line of chunk
        .toString()
        .split('\r\n')
        .filter((text) => text !== ''))
        answer(line, socket)
    })
    answer('', socket)
  })
  await new Promise<void>((listening) => server.listen(0, '127.0.0.1', () => listening()))
  const { port } = server.address() as AddressInfo
  const stop = () =>
    new Promise<void>((stopped) => {
      server.close(() => stopped())
      for (const socket of sockets) socket.destroy()
    })
  return { port, stop }
}

/** An error with the reply code that the double shall give. */
export const reply = (responseCode: number, words: string): Error =>
  Object.assign(new Error(words), { responseCode })

export const emailOptions = (port: number, change: Partial<EmailOptions> = {}): EmailOptions => ({
  name: 'email',
  within: milliseconds(5000),
  host: '127.0.0.1',
  port,
  encryption: 'if_offered',
  from: 'Bellwater <bellwater@example.org>',
  login: null,
  authorities: null,
  ...change,
})
