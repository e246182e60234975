import { after, epochMs, hours, seconds, type EpochMs } from '../units/time.js'
import { larkfieldProbes, larkfieldTopics } from './larkfield-probes.js'
import { larkfieldSite, meals, waterIds, type Site, type WaterId } from './larkfield.js'
import { localMinutes } from './local-time.js'
import { mishapsUnderWay, ordersOf, type Mishap, type MishapCourse } from './mishaps.js'
import { normalNoise } from './noise.js'
import type { PlantInputs, PlantState } from './plant-state.js'
import { settledPlant, step } from './plant.js'
import type { ProbeSpec } from './probes.js'
import { newTalker, type PracticeMessage } from './talker.js'
import { qualityOf, type WaterQuality } from './water.js'

export interface GreenhouseOptions {
  readonly site: Site
  readonly probes: readonly ProbeSpec[]
  /** How fine time is, 1 to 10 s; coarse is faster and changes little. */
  readonly stepSeconds: number
  /** The farm runs so long unheard before `start`, so that it begins in full swing. Mishaps count from then on. */
  readonly warmUpHours: number
}

export interface GreenhouseRequest {
  /** Any integer. The same request gives the same messages to the last byte. */
  readonly seed: number
  readonly start: EpochMs
  readonly mishaps?: MishapCourse
  readonly options?: Partial<GreenhouseOptions>
}

/** What is really so, whatever the probes say. */
export interface Truth {
  readonly at: EpochMs
  readonly water: Readonly<Record<WaterId, WaterQuality>>
  readonly mishaps: readonly Mishap[]
  readonly state: PlantState
}

/** The practice greenhouse in memory. It knows no clock: `advanceTo` says how late it is. */
export interface Greenhouse {
  /** Everything published since the last call, up to and including `at`, in order. Earlier than the last call: nothing. */
  advanceTo(at: EpochMs): readonly PracticeMessage[]
  /** When the next message is due, or the next look at the farm, whichever is first. */
  nextAt(): EpochMs
  truth(): Truth
}

const defaults: GreenhouseOptions = {
  site: larkfieldSite,
  probes: larkfieldProbes(larkfieldTopics),
  stepSeconds: 5,
  warmUpHours: 3,
}

export function createGreenhouse({ seed, start, mishaps = [], options = {} }: GreenhouseRequest): Greenhouse {
  const { site, probes, stepSeconds, warmUpHours } = { ...defaults, ...options }
  const inputsAt = inputsFor({ seed, site, mishaps })
  const born = after(start, hours(-warmUpHours))
  let state = settledPlant({
    at: born,
    site,
    hoursSinceMeal: hoursSinceMeal(localMinutes(site.timeZone)(born)),
  })
  let inputs = inputsAt(state.at)
  const move = (): void => {
    state = step(state, inputs.plant, stepSeconds)
    inputs = inputsAt(state.at)
  }
  while (state.at < start) move()

  const talkers = probes.map((spec, index) =>
    newTalker(spec, { seed, stream: firstProbeStream + index }, start),
  )
  let told = start
  const tellUntil = (until: EpochMs, into: PracticeMessage[]): void => {
    if (state.machines.battery <= 0) {
      for (const talker of talkers) talker.skip(until)
      return
    }
    const view = { state, orders: inputs.plant.machines, startedAt: start, underWay: inputs.underWay }
    const turn: PracticeMessage[] = []
    for (const talker of talkers) talker.talk(until, view, turn)
    if (turn.length > 0) into.push(...turn.sort((a, b) => a.at - b.at))
  }
  return {
    advanceTo(at) {
      const messages: PracticeMessage[] = []
      while (after(state.at, seconds(stepSeconds)) <= at) {
        tellUntil(epochMs(after(state.at, seconds(stepSeconds)) - 1), messages)
        move()
      }
      if (at >= told) tellUntil(at, messages)
      told = epochMs(Math.max(at, told))
      return messages
    },
    nextAt: () =>
      talkers.reduce(
        (first, talker) => (talker.nextAt() < first ? talker.nextAt() : first),
        after(state.at, seconds(stepSeconds)),
      ),
    truth: () => ({ at: state.at, water: truthOfWater(state), mishaps: inputs.underWay, state }),
  }
}

/** Streams below are for sky and fish. */
const firstProbeStream = 100

interface Course {
  readonly plant: PlantInputs
  readonly underWay: readonly Mishap[]
}

/** What befalls the farm at each moment: mishaps, the clock on the wall, and chance. */
function inputsFor(request: { seed: number; site: Site; mishaps: MishapCourse }): (at: EpochMs) => Course {
  const { seed, site, mishaps } = request
  const minutesAt = localMinutes(site.timeZone)
  return (at) => {
    const underWay = mishapsUnderWay(mishaps, at)
    const index = Math.floor(at / 1000) % 2_000_000_000
    const plant: PlantInputs = {
      site,
      ...ordersOf(underWay, at),
      minuteOfDay: minutesAt(at),
      noise: {
        sky: [normalNoise({ seed, stream: 0 }, index), normalNoise({ seed, stream: 1 }, index)],
        moods: {
          'tank-1': moodAt(seed, 2, at),
          'tank-2': moodAt(seed, 3, at),
          'tank-3': moodAt(seed, 4, at),
        },
      },
    }
    return { plant, underWay }
  }
}

/** Fish calm down and get restless over some ten minutes: straight lines between normal numbers. */
function moodAt(seed: number, stream: number, at: EpochMs): number {
  const position = at / 600_000
  const whole = Math.floor(position)
  const part = position - whole
  return (1 - part) * normalNoise({ seed, stream }, whole) + part * normalNoise({ seed, stream }, whole + 1)
}

function hoursSinceMeal(minuteOfDay: number): number {
  const gaps = meals.at.map((meal) => (minuteOfDay - meal - meals.minutes + 2 * 1440) % 1440)
  return Math.min(...gaps) / 60
}

function truthOfWater(state: PlantState): Record<WaterId, WaterQuality> {
  const entries = waterIds.map((id) => [id, qualityOf(state.water[id])] as const)
  return Object.fromEntries(entries) as Record<WaterId, WaterQuality>
}
