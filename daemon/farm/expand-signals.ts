import { signalName, signalParts, type SignalName } from '../readings/signal.js'
import { didYouMean, nearestName } from '../units/nearest-name.js'
import { quantityNamed, type Quantity } from '../units/quantities.js'
import { isUsualAt } from './equipment-presets.js'
import { globMatcher, isGlob } from './globs.js'
import type { Equipment, Place } from './plan.js'
import type { Path, Report } from './report.js'

interface Known {
  readonly places: ReadonlyMap<string, Place>
  readonly equipment: ReadonlyMap<string, Equipment>
  readonly quantities: ReadonlyMap<string, Quantity>
  readonly report: Report
}

/**
 * The signals that a name with a star in its place stands for: one for every declared place or piece of equipment that
 * fits and where the quantity is usual. A name without a star stands for itself if its place and quantity are known.
 * Nothing found is reported, with what is near.
 */
export function expandSignals(written: string, path: Path, known: Known): readonly SignalName[] {
  const parts = signalParts(written)
  if (parts === null) return []
  const quantity = known.quantities.get(parts.quantity)
  if (quantity === undefined) {
    const right = didYouMean(parts.quantity, known.quantities.keys())
    known.report(path, `there is no quantity "${parts.quantity}"`, right)
    return []
  }
  const found = placesFor(parts.place, quantity.name, known)
  if (found.length === 0)
    known.report(path, `no place or equipment fits "${parts.place}"`, near(parts.place, known))
  return found.map((place) => signalName(place, quantity.name))
}

function placesFor(written: string, quantity: string, known: Known): readonly string[] {
  if (!isGlob(written)) return known.places.has(written) || known.equipment.has(written) ? [written] : []
  const fits = globMatcher(written)
  // What the keeper declared may be anywhere.
  const usual = (where: Parameters<typeof isUsualAt>[1]): boolean =>
    quantityNamed(quantity) === undefined || isUsualAt(quantity, where)
  return [
    ...[...known.places.values()]
      .filter((place) => fits(place.id) && usual(place.kind))
      .map((place) => place.id),
    ...[...known.equipment.keys()].filter((id) => fits(id) && usual('equipment')),
  ]
}

/** Near a glob are the names near its letters. */
function near(written: string, known: Known): string {
  const names = [...known.places.keys(), ...known.equipment.keys()]
  const letters = written.replaceAll(/[*?]/g, '')
  const nearest = nearestName(letters, names) ?? names.find((name) => name.startsWith(letters.slice(0, 3)))
  return letters.length > 0 && nearest !== undefined ? `did you mean ${nearest}?` : didYouMean(written, names)
}
