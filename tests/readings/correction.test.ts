import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { corrected, correctionAt, lineThrough } from '../../daemon/readings/correction.js'
import { epochMs } from '../../daemon/units/time.js'
import { correction } from '../contracts/example-batch.js'

describe('the line through known points', () => {
  it.each([
    ['dissolved_oxygen', { gain: 8.3 / 7.9, offset: 0 }],
    ['conductivity', { gain: 8.3 / 7.9, offset: 0 }],
    ['ph', { gain: 1, offset: 8.3 - 7.9 }],
    ['water_temperature', { gain: 1, offset: 8.3 - 7.9 }],
  ])(
    'one point: a probe of %s is corrected the way such probes go wrong (common practice)',
    (quantity, line) => {
      expect(lineThrough([{ reads: 7.9, truth: 8.3 }], quantity)).toEqual(line)
    },
  )

  it('two points: both are read truly afterwards, whatever is measured', () => {
    const number = fc.double({ min: -50, max: 50, noNaN: true })
    const gains = fc.double({ min: 0.21, max: 4.9, noNaN: true })
    fc.assert(
      fc.property(
        number,
        fc.double({ min: 0.5, max: 40, noNaN: true }),
        gains,
        number,
        (reads, apart, gain, truth) => {
          const points = [
            { reads, truth },
            { reads: reads + apart, truth: truth + gain * apart },
          ]
          const line = lineThrough(points, 'ph')
          for (const point of points) expect(corrected(point.reads, line)).toBeCloseTo(point.truth, 6)
        },
      ),
    )
  })

  it.each([
    [
      [
        { reads: 7, truth: 8 },
        { reads: 7, truth: 9 },
      ],
      'both points say that the probe read 7',
    ],
    [[{ reads: 0, truth: 8 }], 'nothing times 0 gives 8'],
    [[{ reads: 1, truth: -1 }], 'multiply every reading by -1'],
    [
      [
        { reads: 4, truth: 7 },
        { reads: 7, truth: 4 },
      ],
      'multiply every reading by -1',
    ],
    [[], 'one or two known points, not 0'],
  ])('refuses what is no such line: %j', (points, says) => {
    expect(() => lineThrough(points, 'dissolved_oxygen')).toThrow(says)
  })
})

it('words and missing values have nothing to correct', () => {
  expect([
    corrected('OL', { gain: 2, offset: 1 }),
    corrected(null, { gain: 2, offset: 1 }),
    corrected(3, null),
  ]).toEqual(['OL', null, 3])
})

it('is in force from its start until before its end, while it was not taken back', () => {
  const one = correction(1)
  const undone = { at: epochMs(1), by: 'first-keeper', why: 'wrong' }
  const at = (moment: number, all = [one]) => correctionAt(all, epochMs(moment))?.id ?? null
  expect([at(999), at(1000), at(1999), at(2000)]).toEqual([null, 1, 1, null])
  expect(at(1500, [correction(2), one])).toBe(2)
  expect(at(1500, [one, correction(2, { undone })])).toBe(1)
})
