import { describe, expect, it } from 'vitest'
import { eventsUntilHeard } from '../../daemon/assembly/channel-events.js'
import type { ChannelEvents } from '../../daemon/assembly/channels.js'
import { epochMs } from '../../daemon/units/time.js'

function listener() {
  const told: string[] = []
  const to: ChannelEvents = {
    trouble: (channel, why) => void told.push(`${channel}: ${why}`),
    text: (channel, { text }) => {
      told.push(`${channel} says ${text}`)
      return Promise.resolve()
    },
    receipt: (channel, { call }) => void told.push(`${channel} delivered ${call}`),
  }
  return { told, to }
}
const text = { from: '+447700900101', text: 'OK 47', at: epochMs(0) }

describe('what channels tell before anybody listens', () => {
  it('is told when somebody does: the latest trouble of each, once', async () => {
    const { events, listen } = eventsUntilHeard()
    events.trouble('text', 'gone')
    events.trouble('text', null)
    events.trouble('spare', 'locked')
    await expect(events.text('text', text)).rejects.toMatchObject({ code: 'BW_CHANNEL' })
    const { told, to } = listener()
    listen(to)
    expect(told).toEqual(['text: null', 'spare: locked'])
    const other = listener()
    listen(other.to)
    expect(other.told).toEqual([])
  })

  it('later goes straight on', async () => {
    const { events, listen } = eventsUntilHeard()
    const { told, to } = listener()
    listen(to)
    events.trouble('text', 'gone')
    events.receipt('text', { call: 47, outcome: 'delivered', detail: '' })
    await events.text('text', text)
    expect(told).toEqual(['text: gone', 'text delivered 47', 'text says OK 47'])
  })
})
