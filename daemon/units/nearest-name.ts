/**
 * The known name most like a mistyped one, or null when none is near enough to be meant. Near: at most a third of its
 * letters inserted, deleted, replaced or swapped with their neighbour (optimal string alignment distance).
 */
export function nearestName(typed: string, known: Iterable<string>): string | null {
  let best: string | null = null
  let least = Math.max(1, Math.floor(typed.length / 3)) + 1
  for (const name of known) {
    const far = distance(typed.toLowerCase(), name.toLowerCase())
    if (far < least) [best, least] = [name, far]
  }
  return best
}

/** ` (did you mean tank-1?)`, or which names there are when none is near; '' when there are none at all. */
export function didYouMean(typed: string, known: Iterable<string>): string {
  const names = [...known]
  const nearest = nearestName(typed, names)
  if (nearest !== null) return `did you mean ${nearest}?`
  if (names.length === 0) return 'none is declared'
  const shown = names.slice(0, 8).join(', ')
  return names.length > 8 ? `known: ${shown}, …` : `known: ${shown}`
}

function distance(a: string, b: string): number {
  let beforeLast: number[] = []
  let last = Array.from({ length: b.length + 1 }, (_, column) => column)
  for (let row = 1; row <= a.length; row += 1) {
    const now = [row]
    for (let column = 1; column <= b.length; column += 1) {
      const same = a[row - 1] === b[column - 1]
      const replaced = (last[column - 1] ?? 0) + (same ? 0 : 1)
      let least = Math.min(replaced, (last[column] ?? 0) + 1, (now[column - 1] ?? 0) + 1)
      const swapped = row > 1 && column > 1 && a[row - 1] === b[column - 2] && a[row - 2] === b[column - 1]
      if (swapped) least = Math.min(least, (beforeLast[column - 2] ?? 0) + 1)
      now.push(least)
    }
    beforeLast = last
    last = now
  }
  return last[b.length] ?? 0
}
