import { spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { createServer } from '../../daemon/http/server.js'
import { openMembers } from '../../daemon/storage/sqlite/members.js'
import { openStore, type Store } from '../../daemon/storage/sqlite/open-store.js'
import { farmServer } from './farm-server.js'
import { FakeClock } from '../support/fake-clock.js'

const folder = mkdtempSync(join(tmpdir(), 'bellwater-people-'))
const config = join(folder, 'farm.yaml')
let store: Store

/** The command itself, with what is piped into it, beside a store that a daemon holds open. */
function people(args: readonly string[], input = ''): { code: number | null; out: string; err: string } {
  const run = spawnSync(
    process.execPath,
    ['--import', 'tsx', 'daemon/main.ts', 'people', ...args, '--config', config],
    { input, encoding: 'utf8' },
  )
  return { code: run.status, out: run.stdout, err: run.stderr }
}

beforeAll(() => {
  writeFileSync(
    config,
    `
farm: { name: Larkfield }
store: { folder: ${join(folder, 'data')} }
places: [ { id: tank-1, kind: tank } ]
people: [ { id: first-keeper, name: First keeper, reach: { text: "+44 7700 900101" } } ]
ladders: { night: { steps: [ { call: everyone, by: [text] } ] } }
`,
  )
  store = openStore({ folder: join(folder, 'data'), clock: new FakeClock() })
})
afterAll(() => {
  store.close()
  rmSync(folder, { recursive: true })
})

const secret = 'three otters swim at dusk'

describe('people', () => {
  it('says who may log in, sets a password while the watch runs, and takes it away', async () => {
    expect(people([]).out).toContain('no password yet')
    const set = people(['password', 'first-keeper'], `${secret}\n`)
    expect([set.code, set.out]).toEqual([0, expect.stringContaining('first-keeper may log in as keeper')])
    expect(people([]).out).toContain('logs in as keeper')

    const members = openMembers(join(folder, 'data'))
    const { parts } = farmServer({ parts: { access: { member: (id) => members.member(id) } } })
    const app = await createServer(parts)
    const logIn = async (password: string) =>
      (
        await app.inject({
          ...{ method: 'POST', url: '/api/session', headers: { 'x-bellwater-act': '1' } },
          payload: { person: 'first-keeper', password },
        })
      ).statusCode
    expect(await logIn(secret)).toBe(200)
    expect(await logIn('three otters swim at dawn')).toBe(401)

    expect(people(['remove', 'first-keeper']).code).toBe(0)
    expect(members.member('first-keeper')).toBeNull()
    members.close()
  }, 60_000)

  it('keeps no password, only a hash', () => {
    people(['password', 'first-keeper', '--role', 'hand'], `${secret}\n`)
    const members = openMembers(join(folder, 'data'))
    expect(members.member('first-keeper')).toMatchObject({
      role: 'hand',
      password: expect.stringMatching(/^scrypt\$/) as string,
    })
    members.close()
    for (const file of ['bellwater.db', 'bellwater.db-wal'])
      expect(readFileSync(join(folder, 'data', file)).includes(secret)).toBe(false)
  }, 60_000)

  it.each([
    [['password', 'first-keepr'], 'did you mean'],
    [['password', 'first-keeper', '--role', 'boss'], 'keeper, hand, guest'],
    [['passwort', 'first-keeper'], 'password or remove'],
    [['password'], 'name a person by id'],
  ])(
    'refuses %j with what would be right',
    (args, says) => {
      const { code, err } = people(args, `${secret}\n`)
      expect([code, err]).toEqual([2, expect.stringContaining(says)])
    },
    60_000,
  )

  it('refuses a short password', () => {
    const { code, err } = people(['password', 'first-keeper'], 'otter\n')
    expect([code, err]).toEqual([2, expect.stringContaining('10 characters')])
  }, 60_000)
})
