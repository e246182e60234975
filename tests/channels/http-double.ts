import { createServer, type IncomingHttpHeaders, type ServerResponse } from 'node:http'
import type { AddressInfo } from 'node:net'

export interface Asked {
  readonly method: string
  readonly url: string
  readonly headers: IncomingHttpHeaders
  readonly body: string
}

export interface HttpDouble {
  readonly url: string
  readonly asked: Asked[]
  stop(): Promise<void>
}

/** A real HTTP server on loopback that answers as a test wants it to; 200 `ok` unless told otherwise. */
export async function httpDouble(
  answer: (response: ServerResponse, asked: Asked) => void = (response) => response.end('ok'),
): Promise<HttpDouble> {
  const asked: Asked[] = []
  const server = createServer((request, response) => {
    let body = ''
    request.on('data', (chunk: Buffer) => (body += chunk.toString()))
    request.on('end', () => {
      const one = { method: request.method ?? '', url: request.url ?? '', headers: request.headers, body }
      asked.push(one)
      answer(response, one)
    })
  })
  await new Promise<void>((listening) => server.listen(0, '127.0.0.1', () => listening()))
  const { port } = server.address() as AddressInfo
  const stop = () =>
    new Promise<void>((stopped) => {
      server.close(() => stopped())
      server.closeAllConnections()
    })
  return { url: `http://127.0.0.1:${port}`, asked, stop }
}
