import { after, epochMs, minutes, rfc3339, seconds, type EpochMs, type Milliseconds } from '../units/time.js'
import { tankIds } from './larkfield.js'
import type { Mishap, MishapCourse } from './mishaps.js'
import { chosen, evenNoise } from './noise.js'
import { laterScenes, type Scenery } from './stage-scenes.js'

/** What terminal and page tell the newcomer: what has just happened at the farm, and what he may try. */
export interface Direction {
  readonly at: EpochMs
  readonly says: string
  readonly tryThis: string
}

export interface StageRequest {
  readonly seed: number
  /** When the watch began, by the watch's own clock. */
  readonly opensAt: EpochMs
  /** How much faster that clock runs than the one on the wall, 1 or more. The quiet beginning is told in wall time. */
  readonly speed: number
}

/** The newcomer's first outage, then from time to time another mishap, for ever. */
export interface Stage {
  readonly mishaps: MishapCourse
  /** What is said in `[from, to)`. */
  directions(from: EpochMs, to: EpochMs): readonly Direction[]
  /** When something is said next, at `from` or later. */
  nextDirectionAt(from: EpochMs): EpochMs
}

/** Wall time before the curtain: long enough to look around. */
const quiet = seconds(60)
const quietSpread = seconds(15)
/**
 * Long enough that oxygen falls to the low limit at a farm with a meal in its fish, and short enough for them: the first
 * act is played at the pace of nature. What is quick is what is quick in truth too: the supply's and the blowers' own
 * probes tell within seconds, oxygen follows over minutes.
 */
const outage = minutes(12)
const recovery = minutes(25)
/** One further mishap in each such span. */
const span = minutes(45)
/** Stream of the noise that directs; the farm itself uses others. */
const directing = 9100

/** Same request, same play. Nothing is staged at the probes: the farm itself loses its mains. */
export function openStage({ seed, opensAt, speed }: StageRequest): Stage {
  const source = { seed, stream: directing }
  const failsAt = after(opensAt, ((quiet + evenNoise(source, 0) * quietSpread) * speed) as Milliseconds)
  const returnsAt = after(failsAt, outage)
  const laterFrom = after(returnsAt, recovery)
  const firstAct = [...lateMeal(opensAt), { kind: 'mains-outage', at: failsAt, for: outage } as const]

  const laterAt = (slot: number): Scenery => {
    const earliest = after(laterFrom, (slot * span) as Milliseconds)
    const at = epochMs(Math.round(earliest + evenNoise(source, 2 * slot + 1) * (span / 3)))
    return chosen(laterScenes, evenNoise(source, 2 * slot + 2))(at)
  }
  const slotOf = (at: EpochMs): number => Math.floor((at - laterFrom) / span)
  const directions = (from: EpochMs, to: EpochMs): readonly Direction[] => {
    const all = [...firstDirections({ opensAt, failsAt, returnsAt })]
    for (let slot = Math.max(0, slotOf(from) - 1); slot <= slotOf(to); slot++)
      all.push(...directionsOf(laterAt(slot)))
    return all.filter(({ at }) => at >= from && at < to).sort((a, b) => a.at - b.at)
  }
  return {
    mishaps: (at): readonly Mishap[] => (at < laterFrom ? firstAct : laterAt(slotOf(at)).mishaps),
    directions,
    nextDirectionAt: (from) =>
      directions(from, after(from, (3 * span) as Milliseconds))[0]?.at ?? after(from, span),
  }
}

/** The evening meal came late: three quarters of an hour before the curtain, so that the fish breathe hard. */
const lateMeal = (opensAt: EpochMs): readonly Mishap[] =>
  tankIds.map((tank) => ({
    kind: 'overfeeding',
    tank,
    size: 0.4,
    at: after(opensAt, minutes(-45)),
    for: minutes(10),
  }))

function firstDirections(times: {
  opensAt: EpochMs
  failsAt: EpochMs
  returnsAt: EpochMs
}): readonly Direction[] {
  const { opensAt, failsAt, returnsAt } = times
  return [
    {
      at: opensAt,
      says: 'Larkfield is a practice greenhouse. All is well there; the fish have just been fed. In about a minute something will go wrong.',
      tryThis: 'Look at the page meanwhile, or type: bellwater alarms',
    },
    {
      at: failsAt,
      says: 'The mains has just failed at Larkfield. Blowers A and B, the main pump and the heater have stopped; a battery carries the probes.',
      tryThis: 'Read the text in the outbox, then say that you have it: bellwater ack mains-lost@mains',
    },
    {
      at: after(failsAt, minutes(2)),
      says: 'No air for two minutes. Oxygen is falling in all tanks, fastest in tank 3, which holds the most fish.',
      tryThis: 'Look at the oxygen minutes of tank 3 on the page: how long until its fish are in danger?',
    },
    {
      at: returnsAt,
      says: 'The mains is back at Larkfield. Blowers, pump and heater run again; oxygen needs some minutes to recover.',
      tryThis: `See what happened, with times: bellwater review --from ${rfc3339(wholeSecond(failsAt))} --to ${rfc3339(wholeSecond(after(returnsAt, minutes(15))))}`,
    },
    {
      at: after(returnsAt, minutes(20)),
      says: 'Larkfield has its oxygen back. From time to time something else will go wrong; nothing will be said beforehand.',
      tryThis: 'Prove your own call-out chain: bellwater drill',
    },
  ]
}

const wholeSecond = (at: EpochMs): EpochMs => epochMs(Math.floor(at / 1000) * 1000)

const directionsOf = ({ begins, ends }: Scenery): readonly Direction[] => [begins, ends]
