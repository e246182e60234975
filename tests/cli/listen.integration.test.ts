import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { connectAsync } from 'mqtt'
import { afterEach, describe, expect, it } from 'vitest'
import { parse } from 'yaml'
import { runCli } from '../../daemon/cli/cli.js'
import type { Terminal } from '../../daemon/cli/verb.js'
import { freePort } from '../support/free-port.js'
import { describeWith, startMosquitto, temporaryFolder } from '../support/services.js'

const closing: (() => unknown)[] = []
afterEach(async () => {
  for (const close of closing.splice(0)) await close()
})

/** A terminal that calls `onErr` with everything said beside the results. */
function terminalWith(onErr: (text: string) => void): { readonly terminal: Terminal; out: () => string } {
  let out = ''
  const terminal = { out: (text: string) => void (out += text), err: onErr, env: {}, width: 80 }
  return { terminal, out: () => out }
}

function configuration(port: number): { readonly file: string; readonly folder: string } {
  const folder = temporaryFolder()
  closing.push(() => folder.remove())
  const file = join(folder.path, 'bellwater.yaml')
  const minimal = readFileSync(new URL('../../config/minimal.yaml', import.meta.url), 'utf8')
  const settings = parse(minimal) as Record<string, unknown>
  writeFileSync(file, JSON.stringify({ ...settings, broker: { url: `mqtt://127.0.0.1:${port}` }, ...farm }))
  return { file, folder: folder.path }
}

const farm = {
  places: [{ id: 'tank-1', kind: 'tank', volume: '2 m3' }],
  equipment: [],
  alarms: [],
  probes: [
    { signal: 'tank-1/dissolved_oxygen', topic: 'farm/do', value: '/mg_l', unit: 'mg/L', every: '30 s' },
  ],
}

/** Runs `listen` with these arguments and sends the messages once it listens. */
async function listenTo(
  messages: readonly (readonly [topic: string, payload: string])[],
  ...args: readonly string[]
) {
  const broker = await startMosquitto()
  closing.push(() => broker.close())
  const probe = await connectAsync(`mqtt://127.0.0.1:${broker.port}`)
  closing.unshift(() => probe.endAsync(true))
  const { file, folder } = configuration(broker.port)
  let said = ''
  const { terminal, out } = terminalWith((text) => {
    said += text
    if (!text.startsWith('listening on')) return
    for (const [topic, payload] of messages) probe.publish(topic, payload)
  })
  const count = ['--count', String(messages.length)]
  const ended = await runCli(
    ['listen', '--config', file, ...count, ...args.map((arg) => arg.replace('%folder%', folder))],
    terminal,
  )
  return { ended, out: out(), said, folder }
}

const messages = [
  ['farm/do', '{"mg_l":7.9}'],
  ['farm/do', '{"other":1}'],
  ['larkfield/tank1/ph', '7.1'],
  ['ups/status', 'OB \u001b[2JLB'],
] as const

describeWith(['mosquitto'], 'bellwater listen', () => {
  it('shows what is mapped and what is not, and drafts entries for the latter', async () => {
    const { ended, out } = await listenTo(messages)
    expect(ended).toBe(0)
    const [lines = '', draft = ''] = out.split('\n\n')
    expect(lines.split('\n').map((line) => line.replace(/^\d\d:\d\d:\d\d/, 'TIME'))).toEqual([
      'TIME  farm/do  tank-1/dissolved_oxygen 7.9 mg/L',
      'TIME  farm/do  cannot be understood: nothing at /mg_l',
      'TIME  larkfield/tank1/ph  not mapped: "7.1"',
      'TIME  ups/status  not mapped: "OB [2JLB"',
    ])
    expect(parse(draft)).toEqual({
      probes: [
        { signal: 'tank-1/ph', topic: 'larkfield/tank1/ph', unit: '[pH]' },
        { signal: 'ups/status', topic: 'ups/status', words: true },
      ],
    })
    expect(draft).toContain('# "7.1" was seen; check the unit')
  })

  it('writes the draft to a file, but never over one', async () => {
    const { said, folder } = await listenTo(messages, '--draft', '%folder%/new.yaml')
    expect(said).toContain('2 draft entries')
    const text = readFileSync(join(folder, 'new.yaml'), 'utf8')
    expect(parse(text)).toMatchObject({ probes: [{ signal: 'tank-1/ph' }, { signal: 'ups/status' }] })
    const again = await listenTo(messages, '--draft', join(folder, 'new.yaml'))
    expect(again.ended).toBe(2)
    expect(again.said).toContain('new.yaml is there already')
    expect(readFileSync(join(folder, 'new.yaml'), 'utf8')).toBe(text)
  })

  it('speaks JSON', async () => {
    const { out } = await listenTo(messages, '--json')
    const lines = out
      .trimEnd()
      .split('\n')
      .map((line) => JSON.parse(line) as Record<string, unknown>)
    expect(lines).toMatchObject([
      {
        topic: 'farm/do',
        kind: 'reading',
        signal: 'tank-1/dissolved_oxygen',
        value: 7.9,
        unit: 'mg/L',
        quality: 'good',
      },
      { topic: 'farm/do', kind: 'rejected', why: 'nothing at /mg_l' },
      { topic: 'larkfield/tank1/ph', kind: 'unmapped', payload: '"7.1"' },
      { topic: 'ups/status', kind: 'unmapped' },
      { kind: 'draft', probes: [{ signal: 'tank-1/ph' }, { signal: 'ups/status' }] },
    ])
  })

  it('ends by itself after its time', async () => {
    const { ended, out } = await listenTo([], '--for', '200 ms', '--count', '9')
    expect([ended, out]).toEqual([0, ''])
  })
})

describe('bellwater listen', () => {
  it('without a broker ends with 1 and says what is wrong', async () => {
    const port = await freePort()
    let said = ''
    const { terminal } = terminalWith((text) => (said += text))
    expect(await runCli(['listen', '--config', configuration(port).file], terminal)).toBe(1)
    expect(said).toBe(`no broker answers: is it running, is the port right? (127.0.0.1:${port})\n`)
  })

  it.each([
    ['--for', 'soon'],
    ['--for', '3 m3'],
    ['--for', '0 s'],
    ['--count', 'many'],
  ])('%s %s is a mistake of usage', async (...args) => {
    const { terminal } = terminalWith(() => undefined)
    expect(await runCli(['listen', '--config', configuration(1).file, ...args], terminal)).toBe(2)
  })
})
