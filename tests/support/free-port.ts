import { createServer, type AddressInfo } from 'node:net'

/** A TCP port of 127.0.0.1 that was free a moment ago, for programs that cannot be told to choose one themselves. */
export function freePort(): Promise<number> {
  return new Promise((resolve, reject) => {
    const server = createServer()
    server.once('error', reject)
    server.listen({ host: '127.0.0.1', port: 0 }, () => {
      const { port } = server.address() as AddressInfo
      server.close(() => resolve(port))
    })
  })
}
