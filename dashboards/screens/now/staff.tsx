import type { Limit, SignalNow } from '../../../daemon/http/contract.js'
import { shownValue, type ShowUnits } from '../../wording/shown.js'

const height = 150
const top = 8
const bottom = height - 8
const left = 8
const right = 40

/** The staff's end: a round figure with room above both the value and the limit. */
export function staffEnd(value: number, limit: number | null): number {
  const wanted = Math.max(value * 1.15, (limit ?? 0) * 2, 1)
  const step = 10 ** Math.floor(Math.log10(wanted))
  return [1, 2, 4, 5, 8, 10].map((factor) => factor * step).find((end) => end >= wanted) ?? wanted
}

interface StaffProps {
  readonly signal: SignalNow
  readonly limit: Limit | null
  readonly units: ShowUnits
}

/** A tide staff: how high the value stands, and where its limit is notched. Said in words beside it, so hidden here. */
export function Staff({ signal, limit, units }: StaffProps) {
  const value = typeof signal.value === 'number' ? Math.max(0, signal.value) : null
  const end = staffEnd(value ?? 0, limit?.limit ?? null)
  const y = (level: number) => bottom - (Math.min(level, end) / end) * (bottom - top)
  const ticks = [0.25, 0.5, 0.75].map((share) => share * end)
  return (
    <svg class="staff" viewBox={`0 0 76 ${height}`} width="76" height={height} aria-hidden="true">
      <rect class="glass" x={left} y={top} width={right - left} height={bottom - top} rx="2" />
      {value !== null && (
        <>
          <rect class="body" x={left + 1} y={y(value)} width={right - left - 2} height={bottom - y(value)} />
          <line class="level" x1={left} x2={right} y1={y(value)} y2={y(value)} />
        </>
      )}
      {ticks.map((tick) => (
        <line key={tick} class="tick" x1={left} x2={left + 9} y1={y(tick)} y2={y(tick)} />
      ))}
      {limit !== null && (
        <>
          <line class="limit-line" x1={left} x2={right} y1={y(limit.limit)} y2={y(limit.limit)} />
          <path class="limit" d={`M${right + 2} ${y(limit.limit)}l8 -5v10z`} />
          <text class="limit-figure" x={right + 13} y={y(limit.limit) + 4}>
            {shownValue(signal, limit.limit, units).figure}
          </text>
        </>
      )}
    </svg>
  )
}
