import { fileURLToPath } from 'node:url'
import { openByDefault, type WebOptions } from '../http/options.js'
import type { Settings } from '../settings/schema.js'

/** Where the built page lies: beside the built daemon, whether this runs from dist/ or from the sources. */
const pageFolder = fileURLToPath(
  new URL(import.meta.url.includes('/dist/') ? '../../dashboards' : '../../dist/dashboards', import.meta.url),
)

export function webOptions({ web }: Settings, key: Uint8Array): WebOptions {
  const publicUrl = web.public_url ?? null
  const open = openByDefault({ listen: web.listen, publicUrl })
  return {
    listen: web.listen,
    publicUrl,
    lookWithoutLogin: web.look_without_login ?? open,
    actWithoutLogin: web.act_without_login ?? open,
    sessionLasts: web.session,
    key,
    pageFolder,
  }
}
