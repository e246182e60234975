import { expect, it } from 'vitest'
import { draftEntries } from '../../daemon/decoding/draft.js'
import { after, seconds } from '../../daemon/units/time.js'
import { bytes, received } from './builders.js'

const heard = (topic: string, payload: string, count = 1, apart = 30.4) => ({
  topic,
  payload: bytes(payload),
  count,
  firstAt: received,
  lastAt: after(received, seconds(apart * (count - 1))),
})

it('proposes place, quantity, pointer, time and interval', () => {
  const entries = draftEntries(heard('larkfield/tank1/do', '{"mg_l":7.9,"ts":1799546400}', 5), [
    'tank-1',
    'tank-2',
  ])
  expect(entries).toEqual([
    {
      signal: 'tank-1/dissolved_oxygen',
      topic: 'larkfield/tank1/do',
      every: '30 s',
      value: '/mg_l',
      time: '/ts',
      unit: 'mg/L',
      note: '7.9 was seen; check the unit',
    },
  ])
})

it('proposes one entry for each number, named by its field', () => {
  const entries = draftEntries(heard('node/4', '{"readings":{"ph":7.1,"water_temp":"24.5"},"id":"x9"}'), [
    'tank-1',
  ])
  expect(entries.map(({ signal, value }) => [signal, value])).toEqual([
    ['readings/ph', '/readings/ph'],
    ['readings/water_temperature', '/readings/water_temp'],
  ])
  expect(entries[0]?.note).toBe('7.1 was seen; say the place')
})

it('takes a bare payload as number, switch or words', () => {
  expect(draftEntries(heard('tank-2/PH', '7.0', 3, 61), ['tank-2'])).toMatchObject([
    { signal: 'tank-2/ph', unit: '[pH]', every: '1 min' },
  ])
  expect(draftEntries(heard('ups/status', 'OB LB'), [])).toMatchObject([
    { signal: 'ups/status', words: true },
  ])
  expect(draftEntries(heard('x/y/what', '1'), [])[0]).toEqual({
    signal: 'y/which_quantity',
    topic: 'x/y/what',
    note: '"1" was seen; say the place and the quantity',
  })
})

it('proposes nothing for what it cannot read', () => {
  expect(draftEntries(heard('a', '{"broken":'), [])).toEqual([])
  expect(draftEntries({ ...heard('a', ''), payload: new Uint8Array([0xff]) }, [])).toEqual([])
})
