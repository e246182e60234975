import type { Limit, SignalNow } from '../../../daemon/http/contract.js'
import type { Manner } from '../../wording/en.js'
import { shownBeside, shownValue, unitText, type ValueWords } from '../../wording/shown.js'
import { trendOf } from '../../wording/verdict.js'
import type { Words } from '../../wording/words.js'
import { Staff } from './staff.js'

export interface ReadingProps {
  readonly signal: SignalNow
  readonly limits: readonly Limit[]
  readonly words: Words
  readonly manner: Manner
  readonly onOpen: (signal: SignalNow) => void
}

/** The limit that a value stands against: the one it is beyond, worst first, else the nearest. */
export function limitAgainst(signal: SignalNow, limits: readonly Limit[]): Limit | null {
  const { value } = signal
  if (typeof value !== 'number') return null
  const room = ({ beyond, limit }: Limit) => (beyond === 'below' ? value - limit : limit - value)
  const own = limits.filter((limit) => limit.signal === signal.signal)
  return own.sort((one, other) => room(one) - room(other))[0] ?? null
}

export const isBeyond = ({ value }: SignalNow, limit: Limit | null): boolean =>
  limit !== null &&
  typeof value === 'number' &&
  (limit.beyond === 'below' ? value < limit.limit : value > limit.limit)

/** How far a value can be trusted: its age and quality in words, never left out. */
function Meta({ signal, words, manner }: Pick<ReadingProps, 'signal' | 'words' | 'manner'>) {
  const { at, stale, quality, reasons, computed } = signal
  if (computed && stale && reasons.length > 0)
    return <span class="meta warn">{words.cannotTell(reasons.join(', '))}</span>
  if (stale || at === null) return <span class="meta warn">{words.notHeard(at, manner)}</span>
  // Where nothing is foreseen the reason is the answer.
  const why = quality === 'good' && signal.value !== null ? '' : `: ${reasons.join(', ')}`
  return (
    <span class="meta">
      {words.age(at, manner)}
      {', '}
      <span class={quality === 'good' ? '' : 'warn'}>
        {words.quality[quality]}
        {why}
      </span>
      {computed && `, ${words.computed}`}
      {interval(signal, words, manner)}
    </span>
  )
}

/** `, 21 to 38 min`: a forecast is never shown surer than it is. */
function interval({ low, high, ...signal }: SignalNow, words: Words, { units }: Manner): string {
  if (low === null || high === null || signal.value === null) return ''
  return `, ${words.within(shownValue(signal, low, units).figure, unitText(shownValue(signal, high, units)))}`
}

/** A value and the limit it stands against, written so that they can be told apart. */
function figures(
  signal: SignalNow,
  limit: Limit | null,
  manner: Manner,
): { readonly value: ValueWords | null; readonly limitText: string } {
  const { value } = signal
  if (value === null) return { value: null, limitText: '' }
  if (typeof value === 'string' || limit === null) {
    return { value: shownValue(signal, value, manner.units), limitText: '' }
  }
  const [own, other] = shownBeside(signal, value, limit.limit, manner.units)
  return { value: own, limitText: unitText(other) }
}

const doubtClass = ({ stale, quality }: SignalNow): string =>
  quality === 'bad' ? 'doubtful bad' : stale || quality === 'uncertain' ? 'doubtful' : ''

/** The reading that a tank stands or falls with: large, with a staff that shows the level against its limit. */
export function FirstReading({ signal, limits, words, manner, onOpen }: ReadingProps) {
  const limit = limitAgainst(signal, limits)
  const beyond = isBeyond(signal, limit) && !signal.stale
  const trend = trendOf(signal)
  const { value, limitText } = figures(signal, limit, manner)
  const standing = beyond
    ? limit?.beyond === 'below'
      ? words.belowLimit
      : words.aboveLimit
    : words.insideLimit
  return (
    <div class={`first ${beyond ? 'beyond' : ''}`}>
      <Staff signal={signal} limit={limit} units={manner.units} />
      <button
        type="button"
        class={`reading big ${doubtClass(signal)}`}
        onClick={() => onOpen(signal)}
        aria-haspopup="dialog"
      >
        <span class="name">{words.shortLabel(signal)}</span>
        <br />
        <span class="figure">{value?.figure ?? '–'}</span>
        <span class="sign">{value?.sign}</span>
        {trend !== 'steady' && (
          <span class="trend">
            <span aria-hidden="true">{trend === 'falling' ? '↘ ' : '↗ '}</span>
            {words.trend[trend]}
          </span>
        )}
        {limit !== null && !signal.stale && (
          <span class="against">
            {beyond && <span aria-hidden="true">▲ </span>}
            {standing} {limitText}
          </span>
        )}
        <Meta {...{ signal, words, manner }} />
      </button>
    </div>
  )
}

/** A forecast without a number that can be told foresees nothing; anything else has none yet. */
const absent = ({ computed, stale, quality }: SignalNow, words: Words): string =>
  computed && !stale && quality !== 'bad' ? words.noneForeseen : words.noValue

/** One line of the table. */
export function RowReading({ signal, limits, words, manner, onOpen }: ReadingProps) {
  const limit = limitAgainst(signal, limits)
  const beyond = isBeyond(signal, limit) && !signal.stale
  const { value, limitText } = figures(signal, limit, manner)
  return (
    <li>
      <button
        type="button"
        class={`reading row ${doubtClass(signal)} ${beyond ? 'beyond' : ''}`}
        onClick={() => onOpen(signal)}
        aria-haspopup="dialog"
      >
        <span class="name">{words.shortLabel(signal)}</span>
        <span class="value">
          {beyond && (
            <span class="warn" aria-hidden="true">
              ▲{' '}
            </span>
          )}
          <span class="figure">{value?.figure ?? absent(signal, words)}</span>
          <span class="sign">{value?.sign}</span>
        </span>
        {beyond && limit !== null && (
          <span class="meta warn">
            {limit.beyond === 'below' ? words.belowLimit : words.aboveLimit} {limitText}
          </span>
        )}
        <Meta {...{ signal, words, manner }} />
      </button>
    </li>
  )
}
