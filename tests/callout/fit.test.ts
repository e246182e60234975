import { describe, expect, it } from 'vitest'
import { cappedName, fit, sentencesOf, shortName } from '../../daemon/callout/fit.js'

const pieces = [
  { name: 'must', forms: ['HIGH'] },
  { name: 'cause', forms: [' because of the blower', ' blower', ''] },
  { name: 'extra', forms: [' and look', ''] },
]
const cuts = [
  { name: 'extra', downTo: 1 },
  { name: 'cause', downTo: 2 },
]

describe('fitting pieces into a length', () => {
  it('leaves everything where there is room', () => {
    expect(fit(pieces, cuts, 40)).toBe('HIGH because of the blower and look')
  })
  it('shortens in the order of the cuts, form by form', () => {
    expect(fit(pieces, cuts, 30)).toBe('HIGH because of the blower')
    expect(fit(pieces, cuts, 4)).toBe('HIGH')
  })
  it('gives the room left by a long piece back to what was cut before it', () => {
    expect(fit(pieces, cuts, 20)).toBe('HIGH blower and look')
  })
  it('leaves what no cut names', () => {
    expect(fit(pieces, cuts, 2)).toBe('HIGH')
  })
  it('counts characters of the extension table twice', () => {
    const money = [{ name: 'price', forms: ['€€€', 'x'] }]
    expect(fit(money, [{ name: 'price', downTo: 1 }], 6)).toBe('€€€')
    expect(fit(money, [{ name: 'price', downTo: 1 }], 5)).toBe('x')
  })
})

describe('short names', () => {
  it.each([
    ['tank 1', 24, 'tank 1'],
    ['Northern greenhouse nursery tank 12', 24, 'Northern tank 12'],
    ['Northern greenhouse nursery tank 12', 8, 'tank 12'],
    ['Blower A of the old house', 10, 'Blower A'],
    ['The community garden of the valley', 20, 'The community garden'],
    ['3 4 5 6', 3, '5 6'],
    ['Pisciculturacooperativa', 10, 'Pisciculturacooperativa'],
  ])('%j in %i is %j', (name, septets, short) => {
    expect(shortName(name, septets)).toBe(short)
  })
  it('cuts a word only when it must never be longer, and no number at all', () => {
    expect(cappedName('Pisciculturacooperativa', 10)).toBe('Piscicult.')
    expect(cappedName('tank1234567', 8)).toBe('tank.')
    expect(cappedName('1234567890', 8)).toBe('?')
  })
})

it('takes sentences off the end', () => {
  expect(sentencesOf('Look at the blowers. Stop feeding!')).toEqual([
    'Look at the blowers. Stop feeding!',
    'Look at the blowers.',
    '',
  ])
})
