import { after, milliseconds, epochMs, type EpochMs } from '../units/time.js'
import { senmlRecordsMax } from './limits.js'
import type { Parsed } from './payload-text.js'

/** A record of a SenML pack with the base fields worked in (RFC 8428, 4.6). */
export interface SenmlRecord {
  readonly name: string
  /** As written in the pack; null when it has none. */
  readonly unit: string | null
  /** Null when the record has no value field of its own (only a sum). */
  readonly value: number | string | boolean | null
  /** Integrated value, in unit·seconds; null when there is none. */
  readonly sum: number | null
  /** Null when the pack gives no time, that is "now" (4.5.3). */
  readonly at: EpochMs | null
}

/** Values below it are seconds relative to now, from it on seconds since 1970 (RFC 8428, 4.5.3). */
const absoluteTimeStart = 2 ** 28
/** The version that a pack without `bver` has, and the newest that is understood (RFC 8428, 4.4). */
const version = 10

interface Base {
  name: string
  time: number
  unit: string | null
  value: number
  sum: number
  version: number | null
}

const fieldTypes: Readonly<Record<string, 'string' | 'number' | 'boolean'>> = {
  bn: 'string', bt: 'number', bu: 'string', bv: 'number', bs: 'number', bver: 'number',
  n: 'string', u: 'string', v: 'number', vs: 'string', vb: 'boolean', vd: 'string', s: 'number', t: 'number', ut: 'number',
} // prettier-ignore

const nameForm = /^[A-Za-z0-9][A-Za-z0-9\-:./_]*$/

/**
 * Resolves a SenML pack in JSON (RFC 8428). A pack with a field that must be understood (its label ends in `_`, 4.4),
 * a newer version, a field of the wrong type or a name of other letters is refused whole.
 */
export function resolveSenml(document: unknown, now: EpochMs | null): Parsed<readonly SenmlRecord[]> {
  if (!Array.isArray(document)) return refused('a SenML pack is a JSON list')
  if (document.length > senmlRecordsMax) return refused(`more than ${senmlRecordsMax} records`)
  const base: Base = { name: '', time: 0, unit: null, value: 0, sum: 0, version: null }
  const records: SenmlRecord[] = []
  for (const [at, raw] of document.entries()) {
    const flaw = recordFlaw(raw)
    if (flaw !== null) return refused(`record ${at + 1}: ${flaw}`)
    const fields = raw as Fields
    const versionFlaw = takeBase(base, fields, at)
    if (versionFlaw !== null) return refused(`record ${at + 1}: ${versionFlaw}`)
    if (isBaseOnly(fields)) continue
    const record = resolved(base, fields, now)
    if (!nameForm.test(record.name))
      return refused(`record ${at + 1}: the name is missing or has letters that SenML does not allow`)
    records.push(record)
  }
  return { kind: 'ok', value: records }
}

const refused = (reason: string): Parsed<never> => ({ kind: 'flawed', reason: `not SenML: ${reason}` })

interface Fields {
  readonly bn?: string
  readonly bt?: number
  readonly bu?: string
  readonly bv?: number
  readonly bs?: number
  readonly bver?: number
  readonly n?: string
  readonly u?: string
  readonly v?: number
  readonly vs?: string
  readonly vb?: boolean
  readonly vd?: string
  readonly s?: number
  readonly t?: number
}

function recordFlaw(raw: unknown): string | null {
  if (typeof raw !== 'object' || raw === null || Array.isArray(raw)) return 'not an object'
  for (const [label, value] of Object.entries(raw)) {
    const type = Object.hasOwn(fieldTypes, label) ? fieldTypes[label] : undefined
    if (type === undefined) {
      if (label.endsWith('_')) return `the field "${label.slice(0, 40)}" must be understood and is not`
      continue
    }
    if (typeof value !== type) return `"${label}" must be a ${type}`
    if (type === 'number' && !Number.isFinite(value)) return `"${label}" is too large a number`
  }
  const values = ['v', 'vs', 'vb', 'vd'].filter((label) => Object.hasOwn(raw, label))
  return values.length > 1 ? `"${values.join('" and "')}" together; a record has one value` : null
}

/** Works the record's base fields in; they hold from here to the end of the pack (4.5.1 to 4.5.5). */
function takeBase(base: Base, fields: Fields, at: number): string | null {
  if (fields.bver !== undefined) {
    if (!Number.isInteger(fields.bver) || fields.bver < 1) return '"bver" must be a positive whole number'
    if (fields.bver > version) return `version ${fields.bver} of SenML is newer than ${version}`
    // "bver" must be the same in all records of a pack, so it may not first appear late either (4.4).
    if (base.version !== null && base.version !== fields.bver) return '"bver" changes within the pack'
    if (base.version === null && at > 0 && fields.bver !== version) return '"bver" changes within the pack'
  }
  base.version = fields.bver ?? base.version ?? version
  base.name = fields.bn ?? base.name
  base.time = fields.bt ?? base.time
  base.unit = fields.bu ?? base.unit
  base.value = fields.bv ?? base.value
  base.sum = fields.bs ?? base.sum
  return null
}

const isBaseOnly = (fields: Fields): boolean =>
  fields.n === undefined &&
  fields.v === undefined &&
  fields.vs === undefined &&
  fields.vb === undefined &&
  fields.vd === undefined &&
  fields.s === undefined

function resolved(base: Base, fields: Fields, now: EpochMs | null): SenmlRecord {
  return {
    name: base.name + (fields.n ?? ''),
    unit: fields.u ?? base.unit,
    value: fields.v === undefined ? (fields.vs ?? fields.vb ?? fields.vd ?? null) : fields.v + base.value,
    sum: fields.s === undefined ? null : fields.s + base.sum,
    at: momentOf(base.time + (fields.t ?? 0), now),
  }
}

function momentOf(time: number, now: EpochMs | null): EpochMs | null {
  if (time >= absoluteTimeStart) return epochMs(Math.round(time * 1000))
  // Zero is "roughly now", which the time of receipt says as well. Relative to an unknown now it means nothing.
  return time === 0 || now === null ? null : after(now, milliseconds(Math.round(time * 1000)))
}

/**
 * SenML units whose spelling is not UCUM's. From memory of the IANA registry "SenML Units" and RFC 8428, table 1:
 * all others that a farm's probe could send (`Cel`, `mg/L`, `V`, `A`, `W`, `S/m`, `Pa`, `m3/s`, `%`) are spelt alike.
 */
const senmlUnits: Readonly<Record<string, string>> = {
  pH: '[pH]', '%RH': '%', '%EL': '%', '/100': '%', '/': '1', count: '1', l: 'L', 'l/s': 'L/s', '1/min': '/min', Ohm: 'Ohm', deg: 'deg',
} // prettier-ignore

/** The UCUM word for a unit of SenML. */
export const unitOfSenml = (unit: string): string =>
  Object.hasOwn(senmlUnits, unit) ? (senmlUnits[unit] ?? unit) : unit
