import { stateWords } from '../alarms/memory.js'
import { qualities } from '../readings/reading.js'
import type { Snapshot } from '../ports/door.js'

/** As section 5.1 of the specification asks. */
export const openMetricsType = 'application/openmetrics-text; version=1.0.0; charset=utf-8'

type Labels = Readonly<Record<string, string>>
interface Family {
  readonly name: string
  readonly type: 'gauge' | 'counter' | 'info' | 'stateset'
  readonly unit?: string
  readonly help: string
  readonly points: readonly (readonly [Labels, number])[]
}

/**
 * The state as OpenMetrics text 1.0 (CNCF specification, November 2020), for those who collect figures elsewhere.
 * Values are in canonical units, named in the `unit` label; each has its age, so that an old value cannot pass for new.
 */
export function metricsOf(snapshot: Snapshot, version: string): string {
  return `${familiesOf(snapshot, version).map(familyText).join('')}# EOF\n`
}

function familiesOf(snapshot: Snapshot, version: string): readonly Family[] {
  const signals = snapshot.signals.map((signal) => {
    const labels: Labels = { place: signal.place, quantity: signal.quantity }
    return { ...signal, labels }
  })
  const { counts } = snapshot
  return [
    {
      name: 'bellwater_build',
      type: 'info',
      help: 'The program.',
      points: [[{ version, farm: snapshot.farm.id }, 1]],
    },
    {
      name: 'bellwater_signal_value',
      type: 'gauge',
      help: 'Newest value, in the canonical unit.',
      points: signals.flatMap(({ labels, unit, value }): [Labels, number][] =>
        typeof value === 'number' ? [[{ ...labels, unit }, value]] : [],
      ),
    },
    {
      name: 'bellwater_signal_age_seconds',
      type: 'gauge',
      unit: 'seconds',
      help: 'Age of the newest value.',
      points: signals.flatMap(({ labels, at }): [Labels, number][] =>
        at === null ? [] : [[labels, Math.max(0, (snapshot.at - at) / 1000)]],
      ),
    },
    {
      name: 'bellwater_signal_quality',
      type: 'stateset',
      help: 'Quality of the newest value.',
      points: signals.flatMap(({ labels, quality }) =>
        qualities.map((word): [Labels, number] => [
          { ...labels, bellwater_signal_quality: word },
          word === quality ? 1 : 0,
        ]),
      ),
    },
    {
      name: 'bellwater_signal_stale',
      type: 'gauge',
      help: '1 when nothing usable came for the stale time.',
      points: signals.map(({ labels, stale }) => [labels, stale ? 1 : 0]),
    },
    {
      name: 'bellwater_alarm_state',
      type: 'stateset',
      help: 'State of every alarm that is not plainly normal.',
      points: snapshot.alarms.flatMap(({ id, priority, state }) =>
        stateWords.map((word): [Labels, number] => [
          { alarm: id, priority, bellwater_alarm_state: word },
          word === state ? 1 : 0,
        ]),
      ),
    },
    {
      name: 'bellwater_alarms_held',
      type: 'gauge',
      help: 'Alarms that may not speak.',
      points: [
        [{ how: 'shelved' }, counts.shelved],
        [{ how: 'suppressed' }, counts.suppressed],
        [{ how: 'out_of_service' }, counts.outOfService],
      ],
    },
    {
      name: 'bellwater_equipment_normal',
      type: 'gauge',
      help: '1 when a piece of equipment is believed to run as it should.',
      points: snapshot.equipment.map(({ id, kind, mode }) => [
        { equipment: id, kind, mode },
        mode === 'normal' ? 1 : 0,
      ]),
    },
    {
      name: 'bellwater_snapshot_timestamp_seconds',
      type: 'gauge',
      unit: 'seconds',
      help: 'When this was so.',
      points: [[{}, snapshot.at / 1000]],
    },
  ]
}

function familyText({ name, type, unit, help, points }: Family): string {
  const head = [
    `# TYPE ${name} ${type}`,
    ...(unit === undefined ? [] : [`# UNIT ${name} ${unit}`]),
    `# HELP ${name} ${escaped(help)}`,
  ]
  const sampleName = type === 'info' ? `${name}_info` : type === 'counter' ? `${name}_total` : name
  const lines = points.map(([labels, value]) => `${sampleName}${labelText(labels)} ${numberText(value)}`)
  return `${[...head, ...lines].join('\n')}\n`
}

const labelText = (labels: Labels): string => {
  const pairs = Object.entries(labels).map(([key, value]) => `${key}="${escaped(value)}"`)
  return pairs.length === 0 ? '' : `{${pairs.join(',')}}`
}

/** Section 4.2: backslash, quote and line feed are escaped. */
const escaped = (text: string): string =>
  text.replaceAll('\\', '\\\\').replaceAll('"', '\\"').replaceAll('\n', '\\n')

const numberText = (value: number): string =>
  Number.isFinite(value) ? String(value) : Number.isNaN(value) ? 'NaN' : value > 0 ? '+Inf' : '-Inf'
