import { describe, expect, it } from 'vitest'
import { bounded, layered, logged } from '../../daemon/channels/layers.js'
import type { Channel, Letter, Sent } from '../../daemon/ports/channel.js'
import { silentLog, type Log } from '../../daemon/ports/log.js'
import type { MonotonicMs } from '../../daemon/units/time.js'
import { exampleLetter } from '../contracts/channel-contract.js'

/** A channel whose letters are answered when the test says so. */
function slowChannel(): { readonly channel: Channel; readonly begun: number[]; answer(id: number): void } {
  const begun: number[] = []
  const open = new Map<number, (sent: Sent) => void>()
  const channel: Channel = {
    name: 'text',
    send: (letter: Letter) => {
      begun.push(letter.id)
      return new Promise((resolve) => open.set(letter.id, resolve))
    },
    close: () => Promise.resolve(),
  }
  return { channel, begun, answer: (id) => open.get(id)?.({ kind: 'accepted', detail: String(id) }) }
}

describe('bounded', () => {
  it('lets only so many through at once, the others in order', async () => {
    const { channel, begun, answer } = slowChannel()
    const narrow = layered(channel, bounded(2, 10))
    const sent = [1, 2, 3, 4].map((id) => narrow.send(exampleLetter({ id })))
    expect(begun).toEqual([1, 2])
    answer(2)
    await sent[1]
    await expect.poll(() => begun).toEqual([1, 2, 3])
    answer(1)
    await expect.poll(() => begun).toEqual([1, 2, 3, 4])
    answer(3)
    answer(4)
    expect((await Promise.all(sent)).map(({ detail }) => detail)).toEqual(['1', '2', '3', '4'])
    const later = narrow.send(exampleLetter({ id: 5 }))
    expect(begun).toContain(5)
    answer(5)
    expect((await later).kind).toBe('accepted')
  })
  it('does not let a queue grow without end', async () => {
    const { channel, answer } = slowChannel()
    const narrow = layered(channel, bounded(1, 1))
    const sent = [1, 2].map((id) => narrow.send(exampleLetter({ id })))
    expect(await narrow.send(exampleLetter({ id: 3 }))).toEqual({
      kind: 'temporary',
      detail: '1 messages wait already',
    })
    answer(1)
    await sent[0]
    await expect.poll(() => (answer(2), sent[1])).toMatchObject({ kind: 'accepted' })
  })
  it('answers those who wait when it closes', async () => {
    const { channel, begun, answer } = slowChannel()
    const narrow = layered(channel, bounded(1, 5))
    const sent = [1, 2].map((id) => narrow.send(exampleLetter({ id })))
    await narrow.close()
    answer(1)
    expect((await Promise.all(sent)).map(({ kind }) => kind)).toEqual(['accepted', 'temporary'])
    expect(begun).toEqual([1])
  })
})

it('logged says how it went and how long it took, and not what was said to whom', async () => {
  const lines: (readonly [string, object, string])[] = []
  const log: Log = {
    ...silentLog,
    info: (facts, sentence) => void lines.push(['info', facts, sentence]),
    warn: (facts, sentence) => void lines.push(['warn', facts, sentence]),
  }
  let clock = 0
  const outcomes: Sent[] = [
    { kind: 'accepted', detail: 'queued' },
    { kind: 'permanent', detail: 'no such mailbox' },
  ]
  const channel: Channel = {
    name: 'email',
    send: () => {
      clock += 25
      return Promise.resolve(outcomes.shift() ?? { kind: 'temporary', detail: '' })
    },
    close: () => Promise.resolve(),
  }
  const watched = layered(channel, logged(log, { monotonic: () => clock as MonotonicMs }))
  await watched.send(exampleLetter())
  await watched.send(exampleLetter())
  expect(lines).toEqual([
    [
      'info',
      { channel: 'email', call: 47, outcome: 'accepted', detail: 'queued', ms: 25 },
      'message handed over',
    ],
    [
      'warn',
      { channel: 'email', call: 47, outcome: 'permanent', detail: 'no such mailbox', ms: 25 },
      'message not handed over',
    ],
  ])
})
