import { didYouMean } from '../units/nearest-name.js'
import type { CropSettings, SpeciesSettings } from '../settings/schema.js'
import { crops, type Crop } from './crops.js'
import type { Path, Report } from './report.js'
import { species, type Figure, type Species } from './species.js'

/** Species and crops by name, the keeper's own among them. */
export interface Living {
  readonly species: ReadonlyMap<string, Species>
  readonly crops: ReadonlyMap<string, Crop>
}

/** The tables with what the keeper adds and changes. One may be based on another that stands above it. */
export function resolveLiving(
  written: { readonly species: readonly SpeciesSettings[]; readonly crops: readonly CropSettings[] },
  report: Report,
): Living {
  return {
    species: extended(species, written.species, { at: 'species', report, make: speciesFrom }),
    crops: extended(crops, written.crops, { at: 'crops', report, make: cropFrom }),
  }
}

interface Named {
  readonly id: string
  readonly based_on?: string | undefined
}

interface Extension<Row, Entry> {
  readonly at: 'species' | 'crops'
  readonly report: Report
  readonly make: (
    entry: Entry,
    base: Row,
    problem: (key: string, wrong: string, right: string) => void,
  ) => Row
}

function extended<Row, Entry extends Named>(
  table: ReadonlyMap<string, Row>,
  entries: readonly Entry[],
  { at, report, make }: Extension<Row, Entry>,
): ReadonlyMap<string, Row> {
  const known = new Map(table)
  for (const [index, entry] of entries.entries()) {
    const path: Path = [at, index]
    const from = entry.based_on ?? entry.id
    const base = known.get(from)
    if (base !== undefined) {
      known.set(
        entry.id,
        make(entry, base, (key, wrong, right) => report([...path, key], wrong, right)),
      )
      continue
    }
    const near = didYouMean(from, known.keys())
    if (entry.based_on === undefined)
      report(
        [...path, 'id'],
        `"${entry.id}" is new here and says not what it is like`,
        `write based_on; ${near}`,
      )
    else report([...path, 'based_on'], `"${from}" is not known here`, near)
  }
  return known
}

const own = (value: number | undefined, known: Figure): Figure =>
  value === undefined ? known : { value, source: 'as in the configuration' }
const labelOf = (
  { id, label }: { readonly id: string; readonly label?: string | undefined },
  known: { readonly id: string; readonly label: string },
): string => label ?? (id === known.id ? known.label : id.replaceAll('_', ' '))

type Problem = Parameters<Extension<Species, SpeciesSettings>['make']>[2]

function speciesFrom(entry: SpeciesSettings, base: Species, problem: Problem): Species {
  const made: Species = {
    id: entry.id,
    label: labelOf(entry, base),
    like: base.like,
    temperatureLow: own(entry.temperature_low, base.temperatureLow),
    temperatureHigh: own(entry.temperature_high, base.temperatureHigh),
    oxygenLow: own(entry.oxygen_low, base.oxygenLow),
    oxygenVeryLow: own(entry.oxygen_very_low, base.oxygenVeryLow),
    criticalOxygen: own(entry.critical_oxygen, base.criticalOxygen),
    phLow: own(entry.ph_low, base.phLow),
    phHigh: own(entry.ph_high, base.phHigh),
    unionisedAmmonia: own(entry.unionised_ammonia, base.unionisedAmmonia),
    nitrite: own(entry.nitrite, base.nitrite),
  }
  const ordered: readonly (readonly [
    lower: keyof SpeciesSettings,
    upper: keyof SpeciesSettings,
    number,
    number,
  ])[] = [
    ['temperature_low', 'temperature_high', made.temperatureLow.value, made.temperatureHigh.value],
    ['oxygen_very_low', 'oxygen_low', made.oxygenVeryLow.value, made.oxygenLow.value],
    ['critical_oxygen', 'oxygen_very_low', made.criticalOxygen.value, made.oxygenVeryLow.value],
    ['ph_low', 'ph_high', made.phLow.value, made.phHigh.value],
  ]
  for (const [lower, upper, low, high] of ordered) {
    if (low < high) continue
    const key = entry[lower] === undefined ? upper : lower
    problem(
      key,
      `${lower} (${low}) does not lie below ${upper} (${high})`,
      `write both in order; without one, that of ${base.label} holds`,
    )
  }
  return made
}

const cropFrom = (entry: CropSettings, base: Crop): Crop => ({
  id: entry.id,
  label: labelOf(entry, base),
  airLow: own(entry.air_low, base.airLow),
  feedRatio: own(entry.feed_ratio, base.feedRatio),
})
