import type { PlaceKind } from './plan.js'

/** A place as people say it: `tank-1` is `tank 1`. */
export const placeLabel = (id: string): string => id.replaceAll(/[-_]+/g, ' ')

/** Equipment as people say it: `blower-a` is `Blower A`, `main-pump` is `Main pump`. */
export function equipmentLabel(id: string): string {
  const words = id.split(/[-_]+/).map((word) => (word.length === 1 ? word.toUpperCase() : word))
  const text = words.join(' ')
  return text.charAt(0).toUpperCase() + text.slice(1)
}

/** The farm's name as a level of a topic: `Larkfield South` is `larkfield-south`. Letters, digits and dashes only. */
export function farmId(name: string): string {
  const plain = name
    .normalize('NFD')
    .replaceAll(/\p{M}/gu, '')
    .toLowerCase()
    .replaceAll(/[^a-z0-9]+/g, '-')
    .replaceAll(/^-+|-+$/g, '')
  return plain === '' ? 'farm' : plain
}

/** Whether the place holds water. */
export const holdsWater = (kind: PlaceKind): boolean => kind !== 'air' && kind !== 'outdoors'
