import { mkdtempSync, mkdirSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { Fault } from '../../daemon/errors.js'
import { readSettings } from '../../daemon/settings/read.js'

let folder = ''
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'bellwater-settings-'))
})
afterEach(() => rmSync(folder, { recursive: true }))

describe('readSettings', () => {
  it('reads files relative to the configuration, wherever it is read from', () => {
    mkdirSync(join(folder, 'secrets'))
    writeFileSync(join(folder, 'secrets', 'mqtt'), 'abracadabra\n')
    const file = join(folder, 'farm.yaml')
    writeFileSync(
      file,
      'farm: { name: Larkfield }\nbroker: { url: mqtt://broker.lan, password_file: secrets/mqtt }\n',
    )
    const read = readSettings(file, {})
    expect(read.kind === 'loaded' && read.settings.broker.password?.reveal()).toBe('abracadabra')
  })

  it('says which file it cannot read, and how to name another', () => {
    const file = join(folder, 'none.yaml')
    try {
      readSettings(file, {})
      expect.unreachable('it was read')
    } catch (cause) {
      expect(cause).toBeInstanceOf(Fault)
      expect(cause).toMatchObject({ code: 'BW_CONFIG', hint: expect.stringContaining('--config') as string })
      expect(String(cause)).toContain(file)
    }
  })
})
