import { chmodSync, mkdirSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { tmpdir, userInfo } from 'node:os'
import { join } from 'node:path'
import { freePort } from './free-port.js'
import { program, start, temporaryFolder } from './services.js'

export interface MailServer {
  readonly port: number
  /** What it filed, as raw messages. */
  mails(): readonly string[]
  stop(): Promise<void>
}

/**
 * OpenSMTPD as a mail server that really accepts and files mail. It uses the machine's own spool: one at a time. It must
 * be started by root; elsewhere `sudo` without a password is tried.
 */
export async function startOpenSmtpd(): Promise<MailServer> {
  const release = await spoolOfThisMachine()
  const folder = temporaryFolder()
  const port = await freePort()
  const mail = join(folder.path, 'mail')
  mkdirSync(mail)
  // It delivers as the unprivileged user, who must be able to enter.
  chmodSync(folder.path, 0o755)
  chmodSync(mail, 0o777)
  const isRoot = process.getuid?.() === 0
  const user = isRoot ? 'nobody' : userInfo().username
  const file = join(folder.path, 'smtpd.conf')
  writeFileSync(
    file,
    [
      `listen on 127.0.0.1 port ${port} hostname localhost`,
      `action "sink" maildir "${mail}" user ${user} virtual { "@" = "${user}" }`,
      'match from any for domain "example.org" action "sink"',
      'match from any for any reject',
      '',
    ].join('\n'),
  )
  const args = ['-d', '-f', file]
  const command = program('smtpd')
  const service = await start(
    isRoot ? { command, args, port } : { command: 'sudo', args: ['-n', command, ...args], port },
  )
  const filed = join(mail, 'new')
  return {
    port,
    mails: () => readdirSync(filed).map((name) => readFileSync(join(filed, name), 'utf8')),
    stop: async () => {
      await service.stop()
      folder.remove()
      release()
    },
  }
}

/** Older than any test: whoever held it is gone. */
const abandonedAfter = 180_000

/** Its spool exists once on a machine; test files run side by side, so they take turns. */
async function spoolOfThisMachine(): Promise<() => void> {
  const turn = join(tmpdir(), 'bellwater-opensmtpd-turn')
  for (;;) {
    try {
      mkdirSync(turn)
      return () => rmSync(turn, { recursive: true, force: true })
    } catch {
      const since = statSync(turn, { throwIfNoEntry: false })?.mtimeMs ?? 0
      if (Date.now() - since > abandonedAfter) rmSync(turn, { recursive: true, force: true })
      await new Promise((resolve) => setTimeout(resolve, 200))
    }
  }
}
