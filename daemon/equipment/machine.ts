import type { Equipment, EvidenceName } from '../farm/plan.js'
import type { EpochMs } from '../units/time.js'
import type { ReadEvidence } from './detect.js'
import type { Verdict } from './verdict.js'

/** Below this share of the usual low end a current, power, flow or pressure is gone (common practice). */
const goneShare = 0.25
/** A current below this is none where the usual band is not known, A (common practice: the noise of clamp sensors). */
const noCurrent = 0.05

type Clue = { readonly at: EpochMs; readonly gone: boolean; readonly value: number }

/** A machine that should turn: stopped, or turning without effect, from whatever evidence there is. */
export function judgeMachine(equipment: Equipment, read: ReadEvidence): Omit<Verdict, 'of'> | null {
  const ordered = flag(equipment, read, 'commanded')
  const running = flag(equipment, read, 'running')
  const electric = clue(equipment, read, 'current') ?? clue(equipment, read, 'power')
  const effect = clue(equipment, read, 'pressure') ?? clue(equipment, read, 'flow')
  const newest = Math.max(...[ordered, running, electric, effect].map((one) => one?.at ?? 0)) as EpochMs
  if (ordered !== null && !ordered.on) {
    return {
      mode: 'normal',
      confidence: 0.8,
      since: newest,
      evidence: [`${equipment.label}: off as commanded`],
    }
  }
  // A heater or a fan under a thermostat rests most of the time: no current is no fault unless it was told to run.
  const mayRest =
    equipment.kind === 'heater' ||
    equipment.kind === 'fan' ||
    equipment.kind === 'feeder' ||
    equipment.kind === 'valve' ||
    equipment.kind === 'vent'
  const off = mayRest ? 'off' : 'stopped'
  if (running !== null && !running.on && (!mayRest || ordered !== null)) {
    return {
      mode: off,
      confidence: 0.95,
      since: running.at,
      evidence: [`${equipment.label}: reports that it is not running`],
    }
  }
  if (electric !== null && electric.gone && (!mayRest || ordered !== null)) {
    return {
      mode: off,
      confidence: 0.95,
      since: electric.at,
      evidence: [says(equipment, 'draws almost no current', electric)],
    }
  }
  if (effect !== null && effect.gone && !mayRest) return withoutEffect(equipment, electric, effect)
  if (electric === null && effect === null && running === null) return null
  return { mode: 'normal', confidence: 0.9, since: newest, evidence: [`${equipment.label}: runs as usual`] }
}

/** The machine gets its current and does nothing with it: an open air line, a blocked or dry pump. */
function withoutEffect(equipment: Equipment, electric: Clue | null, effect: Clue): Omit<Verdict, 'of'> {
  const what = equipment.kind === 'blower' ? 'line pressure' : 'flow'
  const evidence = [`${equipment.label}: ${what} fell to ${Number(effect.value.toPrecision(3))}`]
  if (electric === null) return { mode: 'stopped', confidence: 0.7, since: effect.at, evidence }
  evidence.push('its current stayed as usual')
  return {
    mode: equipment.kind === 'blower' ? 'line_open' : 'blocked',
    confidence: 0.85,
    since: effect.at,
    evidence,
  }
}

function flag(
  equipment: Equipment,
  read: ReadEvidence,
  name: 'running' | 'commanded',
): { at: EpochMs; on: boolean } | null {
  const signal = equipment.evidence[name]
  const seen = signal === undefined ? null : read(signal)
  return seen === null ? null : { at: seen.at, on: seen.value !== 0 }
}

function clue(equipment: Equipment, read: ReadEvidence, name: EvidenceName): Clue | null {
  const signal = equipment.evidence[name]
  const seen = signal === undefined ? null : read(signal)
  if (seen === null || typeof seen.value !== 'number') return null
  const usual = equipment.normal[name]
  if (usual !== undefined) return { at: seen.at, value: seen.value, gone: seen.value < goneShare * usual[0] }
  // Without a usual band only plain nothing speaks.
  return name === 'current' ? { at: seen.at, value: seen.value, gone: seen.value < noCurrent } : null
}

const says = (equipment: Equipment, what: string, clueSeen: Clue): string =>
  `${equipment.label}: ${what} (${Number(clueSeen.value.toPrecision(2))})`
