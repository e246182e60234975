import { BlockList, isIP } from 'node:net'
import type { Milliseconds } from '../units/time.js'

/** What the HTTP side must be told; the settings helper's schema is turned into this by the assembly. */
export interface WebOptions {
  /** Port 0 takes any free one (tests). */
  readonly listen: { readonly host: string; readonly port: number }
  /** Where the farm is reached from outside, behind a reverse proxy: `https://water.example.org/farm`; null when it is not. */
  readonly publicUrl: string | null
  /** Both hold only for requests made straight from this machine; anything that came through a proxy needs a login. */
  readonly lookWithoutLogin: boolean
  readonly actWithoutLogin: boolean
  /** How long a login lasts. Long is kind: nobody should have to type a password at two in the morning. */
  readonly sessionLasts: Milliseconds
  /** At least 32 random bytes, kept in the data folder: signs sessions and answer links. */
  readonly key: Uint8Array
  /** Folder with the built page. */
  readonly pageFolder: string
}

const loopback = new BlockList()
loopback.addSubnet('127.0.0.0', 8, 'ipv4')
loopback.addAddress('::1', 'ipv6')
loopback.addSubnet('::ffff:127.0.0.0', 104, 'ipv6')

/** Whether an address or host name can only mean this machine. */
export function isLoopback(host: string): boolean {
  const bare = host.replace(/^\[|\]$/g, '')
  if (bare === 'localhost') return true
  const family = isIP(bare)
  return family !== 0 && loopback.check(bare, family === 4 ? 'ipv4' : 'ipv6')
}

/**
 * Whether a farm may be looked at and answered without a login when its owner says nothing: only where nobody but this
 * machine can reach it. A public address means a proxy, and a proxy makes strangers look like this machine.
 */
export const openByDefault = (options: Pick<WebOptions, 'listen' | 'publicUrl'>): boolean =>
  isLoopback(options.listen.host) && options.publicUrl === null
