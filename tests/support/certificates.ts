import { execFileSync } from 'node:child_process'
import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { program } from './services.js'

export interface Certificate {
  readonly cert: string
  readonly key: string
  readonly certFile: string
  readonly keyFile: string
}

/** An authority made for one test, and what it signs, as files in `folder`. Needs openssl (`describeWith`). */
export function certificateAuthority(folder: string): {
  readonly ca: Certificate
  sign(name: string): Certificate
} {
  const openssl = (...args: string[]) =>
    execFileSync(program('openssl'), args, { cwd: folder, stdio: 'pipe' })
  const named = (name: string): Certificate => {
    const certFile = join(folder, `${name}.pem`)
    const keyFile = join(folder, `${name}.key`)
    return { certFile, keyFile, cert: readFileSync(certFile, 'utf8'), key: readFileSync(keyFile, 'utf8') }
  }
  const newKey = ['-newkey', 'rsa:2048', '-nodes']
  openssl(
    'req',
    '-x509',
    ...newKey,
    '-keyout',
    'ca.key',
    '-out',
    'ca.pem',
    '-days',
    '2',
    '-subj',
    '/CN=test authority',
  )
  writeFileSync(join(folder, 'names.ext'), 'subjectAltName=DNS:localhost,IP:127.0.0.1\n')
  return {
    ca: named('ca'),
    sign(name) {
      openssl('req', ...newKey, '-keyout', `${name}.key`, '-out', `${name}.csr`, '-subj', `/CN=${name}`)
      const signed = ['-CA', 'ca.pem', '-CAkey', 'ca.key', '-CAcreateserial', '-extfile', 'names.ext']
      openssl('x509', '-req', '-in', `${name}.csr`, '-out', `${name}.pem`, '-days', '2', ...signed)
      return named(name)
    },
  }
}
