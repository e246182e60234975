import { describe, expect, it } from 'vitest'
import { didYouMean, nearestName } from '../../daemon/units/nearest-name.js'

const known = ['volume', 'levels', 'label', 'fish']

describe('nearestName', () => {
  it.each([
    ['voluem', 'volume'],
    ['Volume', 'volume'],
    ['level', 'levels'],
    ['fsh', 'fish'],
  ])('%s was meant to be %s', (typed, name) => {
    expect(nearestName(typed, known)).toBe(name)
  })

  it('does not guess when nothing is near', () => {
    expect(nearestName('temperature', known)).toBeNull()
    expect(nearestName('', known)).toBeNull()
  })
})

describe('didYouMean', () => {
  it('names the nearest, else what there is', () => {
    expect(didYouMean('voluem', known)).toBe('did you mean volume?')
    expect(didYouMean('temperature', known)).toBe('known: volume, levels, label, fish')
    expect(didYouMean('x', [])).toBe('none is declared')
  })
})
