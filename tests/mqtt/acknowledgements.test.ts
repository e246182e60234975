import fc from 'fast-check'
import { expect, it } from 'vitest'
import { acknowledgementsInOrder } from '../../daemon/mqtt/acknowledgements.js'

it('are given in the order of arrival, as soon as all before are earned, each once', () => {
  fc.assert(
    fc.property(fc.shuffledSubarray([0, 1, 2, 3, 4, 5, 6, 7]), (earned) => {
      const line = acknowledgementsInOrder()
      const given: number[] = []
      const done = Array.from({ length: 8 }, (_, at) => line.expect(() => given.push(at)))
      for (const [turn, at] of earned.entries()) {
        done[at]?.()
        done[at]?.()
        const earnedSoFar = new Set(earned.slice(0, turn + 1))
        const due = [0, 1, 2, 3, 4, 5, 6, 7].findIndex((one) => !earnedSoFar.has(one))
        expect(given).toEqual(Array.from({ length: due < 0 ? 8 : due }, (_, one) => one))
      }
      expect(line.waiting()).toBe(8 - given.length)
    }),
  )
})

it('of a lost connection are never given on the next', () => {
  const line = acknowledgementsInOrder()
  const given: string[] = []
  const old = line.expect(() => given.push('old'))
  line.drop()
  const fresh = line.expect(() => given.push('fresh'))
  old()
  expect(given).toEqual([])
  fresh()
  expect(given).toEqual(['fresh'])
  expect(line.waiting()).toBe(0)
})
