import type { PlaceSettings } from '../settings/schema.js'
import { placeLabel } from './labels.js'
import { didYouMean } from '../units/nearest-name.js'
import type { Fish, Place } from './plan.js'
import type { Path, Remark, Report } from './report.js'
import { anyCrop } from './crops.js'
import type { Living } from './resolve-living.js'
import { anySpecies, type Species } from './species.js'

/** The declared places with everything filled in. */
export function resolvePlaces(
  written: readonly PlaceSettings[],
  living: Living,
  report: Report,
  remark: Remark,
): ReadonlyMap<string, Place> {
  const ids = written.map((place) => place.id)
  return new Map(
    written.map((place, index) => {
      const path = ['places', index]
      for (const target of place.flows_to ?? []) {
        if (ids.includes(target) && target !== place.id) continue
        const why = target === place.id ? `${target} cannot flow to itself` : `there is no place "${target}"`
        report(
          [...path, 'flows_to'],
          why,
          didYouMean(
            target,
            ids.filter((id) => id !== place.id),
          ),
        )
      }
      checkLevels(place, path, report)
      const lives = { fish: fishOf(place, path, { living, report }), plants: plantsOf(place, living, remark) }
      return [place.id, placeOf(place, lives, remark)]
    }),
  )
}

function placeOf(
  written: PlaceSettings,
  { fish, plants }: Pick<Place, 'fish' | 'plants'>,
  remark: Remark,
): Place {
  const { id, kind, levels, media, envelope } = written
  if (fish !== null && written.volume === undefined) {
    remark(`${id} has fish but no volume: its oxygen minutes cannot be computed`)
  }
  return {
    id,
    kind,
    label: written.label ?? placeLabel(id),
    volume: written.volume ?? null,
    surfaceArea: written.surface_area ?? null,
    fish,
    levels:
      levels === undefined
        ? null
        : { normal: levels.normal ?? null, high: levels.high ?? null, pumpDry: levels.pump_dry ?? null },
    flowsTo: written.flows_to ?? [],
    media: media === undefined ? null : { volumeL: media.volume, specificSurface: media.specific_surface },
    envelope:
      envelope === undefined
        ? null
        : {
            area: envelope.area,
            uValue: envelope.u_value,
            volume: envelope.volume ?? null,
            airChanges: envelope.air_changes ?? null,
          },
    meals: written.meals ?? [],
    plants,
  }
}

/** A crop that is not known is as tender as the tenderest: a remark, no mistake. */
function plantsOf({ id, plants }: PlaceSettings, { crops }: Living, remark: Remark): Place['plants'] {
  if (plants === undefined) return null
  const crop = crops.get(plants.crop)
  if (crop === undefined)
    remark(
      `${id}: "${plants.crop}" is no crop known here (${didYouMean(plants.crop, crops.keys())}): taken as tender`,
    )
  return { crop: crop ?? anyCrop, area: plants.area }
}

interface FishStage {
  readonly living: Living
  readonly report: Report
}

/** A tank of no fish is an empty tank: it brings no alarms along. */
function fishOf({ fish }: PlaceSettings, path: Path, { living, report }: FishStage): Fish | null {
  if (fish === undefined) return null
  const kind = living.species.get(fish.species)
  if (kind === undefined) {
    report(
      [...path, 'fish', 'species'],
      `"${fish.species}" is no species that is known here`,
      `${didYouMean(fish.species, living.species.keys())} (warm_water and cold_water do for any other)`,
    )
  }
  if (fish.count === 0) return null
  return {
    species: kind ?? anySpecies,
    count: fish.count,
    meanMass: fish.mean_mass,
    feedPerDay: fish.feed_per_day ?? null,
    feedProtein: fish.feed_protein ?? null,
    criticalOxygen: fish.critical_oxygen ?? (kind ?? anySpecies).criticalOxygen.value,
  }
}

function checkLevels({ levels }: PlaceSettings, path: Path, report: Report): void {
  if (levels === undefined) return
  const marks = (['pump_dry', 'normal', 'high'] as const).flatMap((mark) => {
    const height = levels[mark]
    return height === undefined ? [] : [{ mark, height }]
  })
  for (const [index, upper] of marks.entries()) {
    const lower = marks[index - 1]
    if (lower === undefined || lower.height < upper.height) continue
    report(
      [...path, 'levels', upper.mark],
      `${upper.mark} does not lie above ${lower.mark}`,
      'the order is pump_dry, normal, high',
    )
  }
}

/** Half a mg/L between two levels of oxygen (common practice): nearer, they would speak at the same time. */
const step = 0.5

/**
 * The limits that hold for a tank: the species', with the oxygen levels moved up where the keeper's critical oxygen
 * would otherwise overtake them.
 */
export function speciesOf(place: Place): Species {
  const kind = place.fish?.species ?? anySpecies
  const critical = place.fish?.criticalOxygen ?? kind.criticalOxygen.value
  const raised = {
    source: `half a mg/L above the level below it, which follows critical_oxygen ${critical} mg/L`,
  }
  const veryLow = Math.max(kind.oxygenVeryLow.value, critical + step)
  const low = Math.max(kind.oxygenLow.value, veryLow + step)
  return {
    ...kind,
    oxygenVeryLow: veryLow === kind.oxygenVeryLow.value ? kind.oxygenVeryLow : { value: veryLow, ...raised },
    oxygenLow: low === kind.oxygenLow.value ? kind.oxygenLow : { value: low, ...raised },
  }
}
