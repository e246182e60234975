import type { EpochMs } from '../units/time.js'
import { ailsOf, type Mishap } from './mishaps.js'
import type { NoiseSource } from './noise.js'
import { hasNews, newProbeMemory, speak, turnAt, type ProbeMemory, type ProbeSpec } from './probes.js'
import type { Scene } from './scene.js'

/** What a probe publishes. */
export interface PracticeMessage {
  readonly at: EpochMs
  readonly topic: string
  readonly payload: string
  readonly retain: boolean
}

/** The farm as it stands during one step, for all probes. */
export interface View extends Omit<Scene, 'at'> {
  readonly underWay: readonly Mishap[]
}

/** One probe at work: keeps its time, its memory, and what its gateway could not send. */
export interface Talker {
  nextAt(): EpochMs
  /** Says what is due until then. A probe that speaks on change looks at the beginning of the view. */
  talk(until: EpochMs, view: View, into: PracticeMessage[]): void
  /** Keeps time without a word. */
  skip(until: EpochMs): void
}

export function newTalker(spec: ProbeSpec, source: NoiseSource, start: EpochMs): Talker {
  let memory: ProbeMemory = newProbeMemory
  let next = turnAt(spec, source, start, 0)
  let turn = 0
  let kept: PracticeMessage[] = []
  const sayAt = (at: EpochMs, view: View, into: PracticeMessage[]): void => {
    const ails = ailsOf(spec, view.underWay, at)
    const [now, message] = speak(spec, memory, { ...view, at }, { source, ails })
    memory = now
    if (!ails.silent && kept.length > 0) {
      for (const late of kept) into.push({ ...late, at })
      kept = []
    }
    if (message === null) return
    const said = { at, ...message, retain: spec.retain }
    if (!ails.silent) into.push(said)
    else if (kept.length < mostKept) kept.push(said)
  }
  return {
    nextAt: () => next,
    talk(until, view, into) {
      if (spec.onChange && hasNews(spec, memory, { ...view, at: view.state.at }))
        sayAt(view.state.at, view, into)
      while (next <= until) {
        sayAt(next, view, into)
        next = turnAt(spec, source, start, ++turn)
      }
    },
    skip(until) {
      while (next <= until) next = turnAt(spec, source, start, ++turn)
    },
  }
}

/** Messages of one probe that a gateway holds back while it is cut off; what does not fit is lost, as with real ones. */
const mostKept = 500
