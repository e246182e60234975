import type { Now, SignalNow } from '../../../daemon/http/contract.js'
import type { Manner } from '../../wording/en.js'
import type { Words } from '../../wording/words.js'
import { FirstReading, RowReading } from './reading.js'

interface PlacesProps {
  readonly now: Now
  readonly words: Words
  readonly manner: Manner
  readonly onOpen: (signal: SignalNow) => void
}

/** What matters to fish, soonest first; everything else follows as the daemon lists it. */
const order = [
  'dissolved_oxygen',
  'oxygen_minutes_on_trend',
  'oxygen_minutes_if_air_stops',
  'water_temperature',
  'unionised_ammonia_nitrogen',
  'total_ammonia_nitrogen',
  'ph',
]

const rank = ({ quantity }: SignalNow): number => {
  const at = order.indexOf(quantity)
  return at === -1 ? order.length : at
}

const ofPlace = (now: Now, place: string): readonly SignalNow[] =>
  now.signals.filter((signal) => signal.place === place).sort((one, other) => rank(one) - rank(other))

/** Each tank: oxygen large, then the rest of what it is known by. */
export function Tanks({ now, words, manner, onOpen }: PlacesProps) {
  const tanks = now.places.filter(({ kind }) => kind === 'tank')
  if (tanks.length === 0) return null
  return (
    <section aria-labelledby="tanks" tabIndex={-1}>
      <h2 id="tanks">{words.tanks}</h2>
      <div class="tank-list">
        {tanks.map((tank) => {
          const signals = ofPlace(now, tank.id)
          const oxygen = signals.find(({ quantity }) => quantity === 'dissolved_oxygen')
          const rest = signals.filter((signal) => signal !== oxygen)
          return (
            <article key={tank.id} class="tank">
              <h3>
                {words.sentence(tank.label)}
                {tank.fishCount !== null && <small>{words.fish(tank.fishCount)}</small>}
              </h3>
              {oxygen !== undefined && (
                <FirstReading signal={oxygen} limits={now.limits} {...{ words, manner, onOpen }} />
              )}
              <ul class="table">
                {rest.map((signal) => (
                  <RowReading
                    key={signal.signal}
                    limits={now.limits}
                    {...{ signal, words, manner, onOpen }}
                  />
                ))}
              </ul>
            </article>
          )
        })}
      </div>
    </section>
  )
}

/** Everything that is measured and is no tank: other places and equipment, each under its name. */
export function Elsewhere({ now, words, manner, onOpen }: PlacesProps) {
  const tanks = new Set(now.places.filter(({ kind }) => kind === 'tank').map(({ id }) => id))
  const names = new Map([...now.places, ...now.equipment].map(({ id, label }) => [id, label]))
  const places = [...new Set(now.signals.map(({ place }) => place))].filter((place) => !tanks.has(place))
  if (places.length === 0) return null
  return (
    <section aria-labelledby="elsewhere">
      <h2 id="elsewhere">{words.elsewhere}</h2>
      <div class="tank-list">
        {places.map((place) => (
          <article key={place} class="tank">
            <h3>{words.sentence(names.get(place) ?? place)}</h3>
            <ul class="table">
              {ofPlace(now, place).map((signal) => (
                <RowReading key={signal.signal} limits={now.limits} {...{ signal, words, manner, onOpen }} />
              ))}
            </ul>
          </article>
        ))}
      </div>
    </section>
  )
}
