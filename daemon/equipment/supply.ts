import type { Equipment } from '../farm/plan.js'
import type { ReadEvidence } from './detect.js'
import type { Verdict } from './verdict.js'

/** Below this charge a battery is low when the supply itself does not say so (common practice). */
const lowCharge = 20

/** Mains, battery or generator: there or not, by its own sensor or the status words of a UPS (RFC 9271). */
export function judgeSupply(equipment: Equipment, read: ReadEvidence): Omit<Verdict, 'of'> | null {
  const { evidence } = equipment
  const status = evidence.status === undefined ? null : read(evidence.status)
  const words = new Set(status === null ? [] : String(status.value).trim().split(/\s+/))
  if (equipment.kind === 'battery_supply') return judgeBattery(equipment, read, words)
  const present = evidence.present === undefined ? null : read(evidence.present)
  if (present !== null) {
    return present.value === 0
      ? {
          mode: 'lost',
          confidence: 0.98,
          since: present.at,
          evidence: [`${equipment.label}: the sensor reads no supply`],
        }
      : {
          mode: 'normal',
          confidence: 0.98,
          since: present.at,
          evidence: [`${equipment.label}: the supply is there`],
        }
  }
  // On battery while calibrating is no outage (RFC 9271; alarm-standards 4).
  if (status !== null && words.has('OB') && !words.has('CAL')) {
    return {
      mode: 'lost',
      confidence: 0.95,
      since: status.at,
      evidence: [`${equipment.label}: the UPS runs on battery`],
    }
  }
  if (status !== null && words.has('OL')) {
    return {
      mode: 'normal',
      confidence: 0.95,
      since: status.at,
      evidence: [`${equipment.label}: the UPS is on line`],
    }
  }
  return null
}

function judgeBattery(
  equipment: Equipment,
  read: ReadEvidence,
  words: ReadonlySet<string>,
): Omit<Verdict, 'of'> | null {
  const { evidence } = equipment
  const status = evidence.status === undefined ? null : read(evidence.status)
  if (status !== null && words.has('LB')) {
    return {
      mode: 'low',
      confidence: 0.95,
      since: status.at,
      evidence: [`${equipment.label}: the supply itself says low battery`],
    }
  }
  const charge = evidence.charge === undefined ? null : read(evidence.charge)
  if (charge !== null && typeof charge.value === 'number') {
    const says = `${equipment.label}: charge ${Math.round(charge.value)} %`
    const low = charge.value < (equipment.normal.charge?.[0] ?? lowCharge)
    return { mode: low ? 'low' : 'normal', confidence: 0.9, since: charge.at, evidence: [says] }
  }
  return status === null
    ? null
    : {
        mode: 'normal',
        confidence: 0.8,
        since: status.at,
        evidence: [`${equipment.label}: no low-battery word`],
      }
}
