import { describe, expect, it } from 'vitest'
import { crops } from '../../daemon/farm/crops.js'
import { species } from '../../daemon/farm/species.js'
import { alarmOf, planned, planOf, problemsOf } from './plan-of.js'

const farm = (more: string, kind = 'red_hybrid', crop = 'rocket'): string => `
farm: { name: Larkfield }
${more}
places:
  - { id: tank-1, kind: tank, volume: 2 m3, fish: { species: ${kind}, count: 40, mean_mass: 200 g } }
  - { id: bed-1, kind: bed, plants: { crop: ${crop}, area: 10 m2 } }
ladders:
  night: { steps: [{ call: everyone, by: [text] }] }
`
const hybrid =
  '{ id: red_hybrid, based_on: nile_tilapia, temperature_low: 66.2 degF, critical_oxygen: 2.5 mg/L }'
const rocket = '{ id: rocket, based_on: spinach, air_low: -2 Cel, feed_ratio: 40 g/(m2.d) }'
const both = (fish = hybrid, crop = rocket): string => `species: [${fish}]\ncrops: [${crop}]`

const problems = (yaml: string): readonly string[] =>
  problemsOf(yaml).map(({ wrong, right }) => `${wrong}: ${right}`)

describe('own species', () => {
  const plan = planOf(farm(both()))
  const fish = plan.places.get('tank-1')?.fish ?? expect.fail('it has fish')

  it('take what is written, and the rest from what they are based on, with its source', () => {
    const tilapia = species.get('nile_tilapia') ?? expect.fail('it is in the table')
    expect(fish.species).toEqual({
      ...tilapia,
      id: 'red_hybrid',
      label: 'red hybrid',
      temperatureLow: { value: expect.closeTo(19, 9) as number, source: 'as in the configuration' },
      criticalOxygen: { value: 2.5, source: 'as in the configuration' },
    })
    expect(fish.criticalOxygen).toBe(2.5)
  })

  it('breathe like the row of the table that they come from, over two steps as well', () => {
    const { places } = planOf(farm(both(`${hybrid}, { id: own_strain, based_on: red_hybrid }`), 'own_strain'))
    expect(places.get('tank-1')?.fish?.species).toMatchObject({
      like: 'nile_tilapia',
      criticalOxygen: { value: 2.5 },
    })
  })

  it('bring their limits along as alarms', () => {
    expect(alarmOf(plan, 'temperature-low@tank-1').condition).toMatchObject({
      kind: 'below',
      limit: expect.closeTo(19, 9),
    })
  })

  it('may change a known one, for all tanks that have it', () => {
    const changed = planOf(farm(both('{ id: rainbow_trout, nitrite: 0.2 mg/L }'), 'rainbow_trout'))
    expect(alarmOf(changed, 'nitrite-high@tank-1').condition).toMatchObject({ limit: 0.2 })
    expect(changed.places.get('tank-1')?.fish?.species.label).toBe('rainbow trout')
  })

  it('still give way to critical_oxygen on the fish', () => {
    const text = farm(both()).replace('mean_mass: 200 g', 'mean_mass: 200 g, critical_oxygen: 3 mg/L')
    expect(planOf(text).places.get('tank-1')?.fish?.criticalOxygen).toBe(3)
  })
})

it.each([...crops.values()])('$id: every figure has its source', ({ airLow, feedRatio }) => {
  for (const { source } of [airLow, feedRatio]) expect(source).toMatch(/\d{4}|common practice: ./)
  // FAO 589, chapter 8: leafy vegetables 40 to 50, fruiting ones 50 to 80.
  expect(feedRatio.value).toBeGreaterThanOrEqual(40)
  expect(feedRatio.value).toBeLessThanOrEqual(80)
})

describe('own crops', () => {
  it('take what is written, and the rest from what they are based on', () => {
    expect(planOf(farm(both())).places.get('bed-1')?.plants).toEqual({
      crop: {
        id: 'rocket',
        label: 'rocket',
        airLow: { value: -2, source: 'as in the configuration' },
        feedRatio: { value: 40, source: 'as in the configuration' },
      },
      area: 10,
    })
  })
  it('that nobody knows are taken as tender, with a remark and the nearest known', () => {
    const { plan, notes } = planned(farm('', 'nile_tilapia', 'letuce'))
    expect(plan.places.get('bed-1')?.plants?.crop.airLow.value).toBe(10)
    expect(notes).toContainEqual(expect.stringMatching(/bed-1: "letuce" is no crop known here .*lettuce/))
  })
})

it.each([
  [
    'a new one that is like nothing',
    both('{ id: red_hybrid, nitrite: 1 mg/L }'),
    /"red_hybrid" is new here and says not what it is like: write based_on/,
  ],
  [
    'one that is based on what nobody knows',
    both('{ id: red_hybrid, based_on: nile_tilapa }'),
    /"nile_tilapa" is not known here: .*nile_tilapia/,
  ],
  [
    'limits in the wrong order',
    both('{ id: red_hybrid, based_on: nile_tilapia, temperature_low: 35 Cel }'),
    /temperature_low \(35\) does not lie below temperature_high \(32\)/,
  ],
  [
    'a crop that is based on what nobody knows',
    both(hybrid, '{ id: rocket, based_on: spinich }'),
    /"spinich" is not known here: .*spinach/,
  ],
])('%s is refused', (_, more, said) => {
  expect(problems(farm(more))).toContainEqual(expect.stringMatching(said))
})
