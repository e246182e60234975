import { expect, it } from 'vitest'
import { mqttSwitch } from '../../daemon/channels/switch.js'
import { Fault } from '../../daemon/errors.js'
import type { Publisher } from '../../daemon/ports/publisher.js'
import { milliseconds } from '../../daemon/units/time.js'

const options = {
  name: 'siren',
  topic: 'larkfield/siren/set',
  payloadOn: '1',
  payloadOff: '0',
  retain: true,
  within: milliseconds(200),
}

it('says on the broker what the siren listens for', async () => {
  const said: unknown[] = []
  const publisher: Publisher = {
    publish(...words) {
      said.push(words)
      return Promise.resolve()
    },
  }
  const siren = mqttSwitch(options, publisher)
  expect(await siren.set(true)).toEqual({ kind: 'accepted', detail: 'larkfield/siren/set on' })
  expect(await siren.set(false)).toEqual({ kind: 'accepted', detail: 'larkfield/siren/set off' })
  expect(said).toEqual([
    ['larkfield/siren/set', '1', { retain: true }],
    ['larkfield/siren/set', '0', { retain: true }],
  ])
  await siren.close()
  expect((await siren.set(true)).kind).toBe('temporary')
})

it('is worth another try when the broker is away or does not answer', async () => {
  const away = mqttSwitch(options, { publish: () => Promise.reject(new Fault('BW_BROKER', 'not connected')) })
  expect(await away.set(true)).toEqual({
    kind: 'temporary',
    detail: 'the broker did not take it: not connected',
  })
  const mute = mqttSwitch(options, { publish: () => new Promise(() => undefined) })
  expect(await mute.set(true)).toEqual({ kind: 'temporary', detail: 'no answer within 0.2 s' })
})
