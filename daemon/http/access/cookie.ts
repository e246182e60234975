import type { Milliseconds } from '../../units/time.js'

const name = 'bellwater'

/** Our cookie's value from a Cookie header (RFC 6265 section 4.2); null when there is none. */
export function cookieIn(header: string | undefined): string | null {
  for (const pair of (header ?? '').split(';')) {
    const cut = pair.indexOf('=')
    if (cut > 0 && pair.slice(0, cut).trim() === name) return pair.slice(cut + 1).trim()
  }
  return null
}

/**
 * Set-Cookie for a session token; an empty one takes the cookie away. `Secure` where the farm is reached over https;
 * browsers keep such a cookie on loopback too.
 */
export function cookieFor(
  token: string,
  options: { readonly secure: boolean; readonly lasts: Milliseconds },
): string {
  const age = token === '' ? 0 : Math.floor(options.lasts / 1000)
  const secure = options.secure ? '; Secure' : ''
  return `${name}=${token}; Path=/; Max-Age=${age}; HttpOnly; SameSite=Strict${secure}`
}
