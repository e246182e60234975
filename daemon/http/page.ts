import fastifyStatic from '@fastify/static'
import { existsSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import type { App } from './parts.js'
import { problemOf, sendProblem } from './problem.js'

/** Where `npm run build` puts the page, seen from the sources and from the built daemon alike. */
export function builtPageFolder(): string {
  const candidates = ['../../dashboards', '../../dist/dashboards'].map((path) =>
    fileURLToPath(new URL(path, import.meta.url)),
  )
  return candidates.find((folder) => existsSync(join(folder, 'assets'))) ?? candidates[0] ?? ''
}

/**
 * No script, style or connection but our own; no frame may hold us (an Acknowledge button must not be lured out).
 * @source W3C Content Security Policy Level 3
 */
const policy = [
  "default-src 'none'",
  "script-src 'self'",
  "style-src 'self'",
  "img-src 'self' data:",
  "connect-src 'self'",
  "manifest-src 'self'",
  "base-uri 'none'",
  "form-action 'self'",
  "frame-ancestors 'none'",
].join('; ')

const yearSeconds = 31_536_000

/** Headers that every answer carries (unless its route said otherwise). */
export function addHeaders(app: App): void {
  app.addHook('onSend', async (_request, reply) => {
    const headers = {
      'content-security-policy': policy,
      'x-content-type-options': 'nosniff',
      'referrer-policy': 'no-referrer',
      'cross-origin-opener-policy': 'same-origin',
      'cross-origin-resource-policy': 'same-origin',
      'permissions-policy': 'camera=(), geolocation=(), microphone=()',
      'cache-control': 'no-store',
    }
    for (const [name, value] of Object.entries(headers)) if (!reply.hasHeader(name)) reply.header(name, value)
  })
}

/** The page itself: files with a hash in their name are kept for a year, the entry is asked for every time. */
export async function addPage(app: App, folder: string): Promise<void> {
  if (!existsSync(join(folder, 'index.html'))) {
    app.get('/', { schema: { hide: true } }, async (_request, reply) =>
      sendProblem(
        reply,
        problemOf(503, 'The page is not built yet: run npm run build. The watch works without it.'),
      ),
    )
    return
  }
  await app.register(fastifyStatic, {
    root: folder,
    preCompressed: true,
    dotfiles: 'ignore',
    cacheControl: false,
    setHeaders: (response, path) => {
      const hashed = path.includes('assets')
      response.setHeader('cache-control', hashed ? `public, max-age=${yearSeconds}, immutable` : 'no-cache')
    },
  })
}
