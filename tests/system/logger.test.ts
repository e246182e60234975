import { describe, expect, it } from 'vitest'
import { Fault } from '../../daemon/errors.js'
import { createLogger } from '../../daemon/system/logger.js'

function logged(human: boolean, level: 'debug' | 'info' = 'info') {
  const lines: string[] = []
  return { lines, log: createLogger({ level, human, write: (line) => lines.push(line) }) }
}

describe('the log as JSON', () => {
  it('has time, level, room, facts and the sentence, and nothing else', () => {
    const { lines, log } = logged(false)
    log.child({ room: 'mqtt' }).warn({ tries: 3 }, 'the broker is away')
    const line = JSON.parse(lines[0] ?? '') as Record<string, unknown>
    expect(line).toEqual({
      level: 'warn',
      time: expect.stringMatching(/^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z$/),
      room: 'mqtt',
      tries: 3,
      msg: 'the broker is away',
    })
  })

  it('keeps to its level', () => {
    const { lines, log } = logged(false)
    log.debug({}, 'a reading came')
    expect(lines).toEqual([])
  })

  it.each([
    [{ password: 'hunter2' }],
    [{ broker: { password: 'hunter2' } }],
    [{ channels: { text: { token: 'hunter2' } } }],
    [{ headers: { authorization: 'Bearer hunter2' } }],
    [{ link: 'https://farm.example.org/a/hunter2' }],
  ])('never shows a secret: %j', (facts) => {
    for (const human of [true, false]) {
      const { lines, log } = logged(human)
      log.info(facts, 'connected')
      expect(lines.join('')).not.toContain('hunter2')
      expect(lines.join('')).toContain('(secret)')
    }
  })

  it('tells a fault by code, words, hint and cause', () => {
    const { lines, log } = logged(false)
    const cause = new Fault('BW_STORE', 'data/bellwater.db: the disk is full', 'make room')
    log.error({ error: new Fault('BW_CHANNEL', 'text: refused', 'look', { cause }) }, 'a duty was missed')
    expect(JSON.parse(lines[0] ?? '')).toMatchObject({
      error: {
        code: 'BW_CHANNEL',
        message: 'text: refused',
        hint: 'look',
        cause: { code: 'BW_STORE', message: 'data/bellwater.db: the disk is full', hint: 'make room' },
      },
    })
  })
})

describe('the log on a terminal', () => {
  it('is one line for people', () => {
    const { lines, log } = logged(true)
    log.child({ room: 'mqtt' }).warn({ tries: 3, of: 'broker' }, 'the broker is away')
    expect(lines.join('')).toMatch(
      /^\d\d:\d\d:\d\d\.\d{3}Z warn {2}mqtt: the broker is away \(tries=3 of=broker\)\n$/,
    )
  })

  it('lets nothing from outside move the cursor or start a line', () => {
    const { lines, log } = logged(true)
    log.warn({ topic: 'a\u001b[2Jb\nerror all is lost' }, 'not understood')
    expect(lines.join('')).toContain('topic=a\\u001b[2Jb\\nerror all is lost')
    expect(lines.join('').split('\n')).toHaveLength(2)
  })
})
