import { expect, it } from 'vitest'
import { farmFromText } from '../../daemon/cli/load-farm.js'
import { after, epochMs, hours } from '../../daemon/units/time.js'
import { advance } from '../../daemon/watch/advance.js'
import { newWorld } from '../../daemon/watch/docs.js'

const farm = `
farm: { name: Larkfield, time_zone: Europe/London, altitude: 80 m }
places: [ { id: tank-1, kind: tank, volume: 1.9 m3, surface_area: 1.9 m2 } ]
people: [ { id: first-keeper, name: First keeper, reach: { text: "+44 7700 900101", email: first@example.org } } ]
ladders: { night: { steps: [ { after: 0 min, call: first-keeper, by: [text] } ] } }
`
const { plan } = farmFromText({ text: farm, file: 'farm.yaml', env: {}, readFile: () => '' })
const start = epochMs(Date.UTC(2027, 0, 10, 22))

it.each([
  ['in trouble: over another', true, 'email'],
  ['that works again: over itself', false, 'text'],
])(
  'a channel’s own trouble is an alarm; what is told outside a ladder goes, with a channel %s (AL-26, AL-43)',
  (_what, stays, by) => {
    const world = newWorld(plan, start)
    const trouble = { kind: 'own-trouble', of: 'channel:text', why: 'there is no SIM card' } as const
    const lines = [
      ...advance(world, [{ ...trouble, broken: true }], after(start, hours(1))),
      ...(stays ? [] : advance(world, [{ ...trouble, broken: false, why: '' }], after(start, hours(2)))),
      ...advance(world, [], after(start, hours(24))),
    ]
    expect(lines).toContainEqual(
      expect.objectContaining({ event: 'state', from: 'NORM', alarm: 'own-trouble@channel:text' }),
    )
    const messages = lines.flatMap((line) => ('event' in line && line.event === 'message' ? [line] : []))
    expect(messages.length).toBeGreaterThan(0)
    expect(messages.map((message) => message.by)).toEqual(messages.map(() => by))
    expect(messages[0]?.text).toContain('channel')
  },
)
