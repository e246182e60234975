/**
 * Acknowledgements of one connection, given in the order in which the messages came, whatever the order in which they
 * are earned. MQTT demands that order of PUBACKs (MQTT-4.6.0-2): a message that means nothing is done with at once,
 * but may not overtake a reading before it that waits for the disk.
 */
export interface Acknowledgements {
  /** A message came. The returned function says that it is done with; `give` is then called, once, when it is its turn. */
  expect(give: () => void): () => void
  /** The connection is gone: nothing may be acknowledged on another one, where the same number means another message. */
  drop(): void
  waiting(): number
}

interface Place {
  readonly give: () => void
  done: boolean
}

export function acknowledgementsInOrder(): Acknowledgements {
  let line: Set<Place> = new Set()
  return {
    expect(give) {
      const place: Place = { give, done: false }
      const own = line
      own.add(place)
      return () => {
        place.done = true
        if (own === line) giveThoseDue(line)
      }
    },
    drop() {
      line = new Set()
    },
    waiting: () => line.size,
  }
}

/** From the front of the line up to the first that is not done with. A set keeps the order of arrival. */
function giveThoseDue(line: Set<Place>): void {
  for (const place of line) {
    if (!place.done) return
    line.delete(place)
    place.give()
  }
}
