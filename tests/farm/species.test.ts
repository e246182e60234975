import { describe, expect, it } from 'vitest'
import { species, type Figure } from '../../daemon/farm/species.js'
import { fixture } from './plan-of.js'

interface Published {
  readonly id: string
  readonly expected: number
}
const published = new Map(
  (JSON.parse(fixture('reference/species.json')) as readonly Published[]).map((row) => [
    row.id,
    row.expected,
  ]),
)

const figuresOf = (id: string): readonly Figure[] =>
  Object.values(species.get(id) ?? {}).filter((value): value is Figure => typeof value === 'object')

describe('what each kind of fish bears', () => {
  it.each([...species.keys()])('%s: every figure has its source', (id) => {
    const figures = figuresOf(id)
    expect(figures).toHaveLength(9)
    for (const { value, source } of figures) {
      expect(value).toBeGreaterThan(0)
      expect(source).toMatch(/\d{4}|aquaculture species pages|common practice: .|from memory of ./)
    }
  })

  it.each([...species.values()])('$id: limits stand in the order in which trouble comes', (kind) => {
    expect(kind.temperatureLow.value).toBeLessThan(kind.temperatureHigh.value)
    expect(kind.phLow.value).toBeLessThan(kind.phHigh.value)
    expect(kind.criticalOxygen.value).toBeLessThan(kind.oxygenVeryLow.value)
    expect(kind.oxygenVeryLow.value).toBeLessThan(kind.oxygenLow.value)
  })

  it.each([
    ['warm_water', 'temperatureHigh', 'fao31-warm-temperature_high'],
    ['warm_water', 'oxygenLow', 'fao31-warm-oxygen_low'],
    ['warm_water', 'phLow', 'fao31-warm-ph_low'],
    ['warm_water', 'nitrite', 'fao31-warm-nitrite_max'],
    ['warm_water', 'temperatureLow', 'fao32-aquaponics-temperature_low'],
    ['cold_water', 'temperatureHigh', 'fao31-cold-temperature_high'],
    ['cold_water', 'oxygenLow', 'fao31-cold-oxygen_low'],
    ['cold_water', 'phHigh', 'fao31-cold-ph_high'],
    ['nile_tilapia', 'temperatureLow', 'fao-tilapia-nofeed'],
    ['nile_tilapia', 'oxygenLow', 'fao71-nile-tilapia-oxygen_low'],
    ['nile_tilapia', 'oxygenVeryLow', 'fao-do-tol-high'],
    ['nile_tilapia', 'nitrite', 'fao71-nile-tilapia-nitrite_max'],
    ['common_carp', 'nitrite', 'fao71-common-carp-nitrite_max'],
    ['channel_catfish', 'temperatureLow', 'hsi-catfish-growth_stops_below'],
    ['channel_catfish', 'nitrite', 'fao71-channel-catfish-nitrite_max'],
    ['rainbow_trout', 'temperatureHigh', 'fao71-rainbow-trout-temperature_vital_high'],
    ['rainbow_trout', 'oxygenLow', 'fao71-rainbow-trout-oxygen_low'],
    ['barramundi', 'temperatureLow', 'fao71-barramundi-temperature_vital_low'],
    ['barramundi', 'oxygenLow', 'fao71-barramundi-oxygen_low'],
    ['flathead_mullet', 'temperatureLow', 'fao71-flathead-mullet-temperature_vital_low'],
    ['flathead_mullet', 'oxygenLow', 'fao71-flathead-mullet-oxygen_low'],
    ['flathead_mullet', 'nitrite', 'fao71-flathead-mullet-nitrite_max'],
    ['yellow_perch', 'temperatureHigh', 'tidwell-perch-stress'],
  ] as const)('%s %s is the published figure %s', (id, limit, figure) => {
    expect(species.get(id)?.[limit].value).toBe(published.get(figure))
  })

  it('un-ionised ammonia is kept as nitrogen: 0.05 and 0.03 mg/L NH3 by 1.2159 (Huetter 1990, IUPAC weights)', () => {
    expect(species.get('warm_water')?.unionisedAmmonia.value).toBeCloseTo(
      (published.get('huetter-chronic-high') ?? 0) / 1.2159,
      3,
    )
    expect(species.get('rainbow_trout')?.unionisedAmmonia.value).toBeCloseTo(
      (published.get('huetter-chronic-low') ?? 0) / 1.2159,
      3,
    )
  })
})
