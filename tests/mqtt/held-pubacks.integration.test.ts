import type { IPublishPacket } from 'mqtt'
import { expect, it } from 'vitest'
import { acknowledgementsInOrder } from '../../daemon/mqtt/acknowledgements.js'
import { hearing } from '../../daemon/mqtt/hearing.js'
import { pubacksCanBeHeld } from '../../daemon/mqtt/held-pubacks.js'
import { messageHandler } from '../../daemon/mqtt/message-handler.js'
import { roomGate } from '../../daemon/mqtt/room-gate.js'
import { ends, outside } from './ears.js'

it('the installed mqtt library lets PUBACKs be held back', async () => {
  expect(await pubacksCanBeHeld()).toBe(true)
})

it('a library that sends them by another way, or no longer by hand, is found out', async () => {
  expect(await pubacksCanBeHeld(() => () => undefined)).toBe(false)
  const swallowsAll = (client: { _sendPacket: unknown }) => {
    client._sendPacket = (_packet: unknown, done?: () => void) => done?.()
    return () => undefined
  }
  expect(await pubacksCanBeHeld((client) => swallowsAll(client as unknown as { _sendPacket: unknown }))).toBe(
    false,
  )
})

it('with such a library each message waits for its own commit, and none is acknowledged on a later connection', () => {
  const given = ends()
  const { intake } = given
  const acknowledgements = acknowledgementsInOrder()
  const handle = messageHandler({
    ears: hearing(outside(1, given)),
    acknowledgements,
    gate: roomGate(intake),
    sendPuback: null,
  })
  const message = (messageId: number): IPublishPacket => ({
    cmd: 'publish',
    topic: 'farm/ph',
    payload: Buffer.from('7'),
    qos: 1,
    messageId,
    retain: false,
    dup: false,
  })
  const passedOn: number[] = []
  handle(message(1), () => passedOn.push(1))
  expect([intake.values(), passedOn]).toEqual([[7], []])
  intake.commit()
  expect(passedOn).toEqual([1])
  handle(message(2), () => passedOn.push(2))
  acknowledgements.drop()
  intake.commit()
  expect(passedOn).toEqual([1])
})
