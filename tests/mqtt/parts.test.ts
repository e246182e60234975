import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { explainError } from '../../daemon/mqtt/explain-error.js'
import { isLoopback, loginCheck } from '../../daemon/mqtt/login.js'
import { isReserved } from '../../daemon/mqtt/own-topics.js'
import { packetGuard, packetMax } from '../../daemon/mqtt/packet-guard.js'
import { nextProtocol, reconnectDelay } from '../../daemon/mqtt/reconnect.js'
import { retainedBytesMax, retainedLimit, retainedTopicsMax } from '../../daemon/mqtt/retained-limit.js'
import { roomGate } from '../../daemon/mqtt/room-gate.js'
import { troubles } from '../../daemon/mqtt/troubles.js'
import type { BrokerTrouble } from '../../daemon/mqtt/options.js'
import { Secret } from '../../daemon/secret.js'
import { FakeIntake } from './fake-intake.js'

describe('the wait before a reconnect', () => {
  it('doubles up to half a minute and lies in the upper half of that', () => {
    expect([0, 1, 2, 3, 4, 5, 50].map((tries) => reconnectDelay(tries, 0))).toEqual([
      500, 1000, 2000, 4000, 8000, 15_000, 15_000,
    ])
    expect(reconnectDelay(50, 0.999)).toBeLessThanOrEqual(30_000)
  })
})

describe('the version of MQTT', () => {
  it('falls back when it is refused, or the broker hangs up without a word, and only then', () => {
    expect(nextProtocol(5, 5, { kind: 'version-refused' })).toBe(4)
    expect(nextProtocol(5, 5, { kind: 'hung-up' })).toBe(4)
    expect(nextProtocol(5, 4, { kind: 'hung-up' })).toBe(5)
    expect(nextProtocol(5, 5, { kind: 'other' })).toBe(5)
    expect(nextProtocol(4, 4, { kind: 'version-refused' })).toBe(4)
  })
})

describe('the guard of packet sizes', () => {
  /** A packet of any kind with its length as MQTT writes it (5.0, 1.5.5). */
  const packet = (body: number): number[] => {
    const length: number[] = []
    let left = body
    do {
      length.push((left % 128) | (left >= 128 ? 0x80 : 0))
      left = Math.floor(left / 128)
    } while (left > 0)
    return [0x30, ...length, ...new Array<number>(body).fill(0xff)]
  }

  it('lets small packets pass however they are cut', () => {
    fc.assert(
      fc.property(
        fc.array(fc.nat(300), { maxLength: 10 }),
        fc.array(fc.integer({ min: 1, max: 200 })),
        (bodies, cuts) => {
          const guard = packetGuard()
          let bytes = Uint8Array.from(bodies.flatMap(packet))
          for (const cut of [...cuts, bytes.length]) {
            expect(guard(bytes.subarray(0, cut))).toBe(true)
            bytes = bytes.subarray(cut)
          }
        },
      ),
    )
  })

  it('tells of one that is too large as soon as its length is there', () => {
    const guard = packetGuard()
    expect(guard(Uint8Array.from(packet(200)))).toBe(true)
    const header = packet(packetMax + 1).slice(0, 4)
    expect(guard(Uint8Array.from(header.slice(0, 3)))).toBe(true)
    expect(guard(Uint8Array.from(header.slice(3)))).toBe(false)
    expect(packetGuard()(Uint8Array.from(packet(packetMax).slice(0, 5)))).toBe(true)
  })

  it('tells of a length that never ends', () => {
    expect(packetGuard()(Uint8Array.from([0x30, 0x80, 0x80, 0x80, 0x80, 0x80, 0x80]))).toBe(false)
  })
})

describe('retained messages of our own broker', () => {
  it('are counted by topics and bytes, and cleared ones make room', () => {
    const mayKeep = retainedLimit()
    for (let n = 0; n < retainedTopicsMax; n += 1) expect(mayKeep(`t${n}`, 10)).toBe(true)
    expect(mayKeep('one more', 10)).toBe(false)
    expect(mayKeep('t0', 20)).toBe(true)
    expect(mayKeep('t1', 0)).toBe(true)
    expect(mayKeep('one more', 10)).toBe(true)
    expect(mayKeep('t2', retainedBytesMax)).toBe(false)
  })
})

describe('the login', () => {
  const login = { username: 'probe', password: new Secret('s3cret') }
  const bytes = (text: string) => new TextEncoder().encode(text)
  it('takes the right name with the right password', () => {
    const isRight = loginCheck(login)
    expect(isRight('probe', bytes('s3cret'))).toBe(true)
    expect(isRight('probe', bytes('s3cret '))).toBe(false)
    expect(isRight('other', bytes('s3cret'))).toBe(false)
    expect(isRight(undefined, undefined)).toBe(false)
    expect(loginCheck(null)(undefined, undefined)).toBe(true)
  })

  it('may be left out only where this machine alone can reach the port', () => {
    expect(['127.0.0.1', '127.1.2.3', '::1', 'localhost'].every(isLoopback)).toBe(true)
    expect(['0.0.0.0', '::', '192.168.1.4', '127.0.0.1.example.org'].some(isLoopback)).toBe(false)
  })
})

it('topics that only the daemon may publish', () => {
  const reserved = (topic: string) => isReserved(topic, 'larkfield')
  expect(['$SYS/x', 'bellwater', 'bellwater/larkfield/state', 'bellwater/other/ack'].every(reserved)).toBe(
    true,
  )
  expect(['bellwater/larkfield/ack', 'bellwaters/x', 'larkfield/tank1/do'].some(reserved)).toBe(false)
})

describe('the gate of the intake', () => {
  it('keeps the order, and lets through only what there is room for', () => {
    const intake = new FakeIntake(2)
    const gate = roomGate(intake)
    const through: number[] = []
    const work = (at: number) => () => {
      through.push(at)
      intake.take({ topic: 't', arrivals: [], acknowledge: () => undefined })
    }
    for (const at of [1, 2, 3, 4, 5]) gate.enter(work(at))
    expect(through).toEqual([1, 2])
    expect(gate.waiting()).toBe(3)
    intake.commit(1)
    expect(through).toEqual([1, 2, 3])
    intake.commit()
    expect(through).toEqual([1, 2, 3, 4, 5])
  })
})

describe('troubles', () => {
  it('are told when the whole changes', () => {
    const told: BrokerTrouble[] = []
    const { set } = troubles((trouble) => told.push(trouble))
    set('connection', null)
    set('connection', 'gone')
    set('connection', 'gone')
    set('subscription', 'refused')
    set('connection', null)
    set('subscription', null)
    expect(told.map(({ broken, why }) => [broken, why])).toEqual([
      [false, 'the broker is there again'],
      [true, 'gone'],
      [true, 'gone; refused'],
      [true, 'refused'],
      [false, 'the broker is there again'],
    ])
  })
})

it('an error without a known code is told as it is', () => {
  expect(explainError(new Error('odd'), 'b:1')).toBe('the broker at b:1 cannot be reached: odd')
  expect(explainError(Object.assign(new Error('x'), { code: 4 }), 'b:1')).toBe(
    'the broker refuses our user name or password (b:1)',
  )
})
