import type { Priority, Quality } from '../../daemon/http/contract.js'

/**
 * Our own marks, after the shapes that ships hoist by day: each priority has a shape and a letter of its own, so it is
 * told apart without colour, and the word stands beside it (AL-34).
 */
const shapes: Readonly<Record<Priority, string>> = {
  // a diamond: two cones base to base
  critical: 'M16 0.5L31.5 16 16 31.5 0.5 16z',
  // a cone
  high: 'M16 2l14 27H2z',
  // a ball
  medium: 'M16 2a14 14 0 1 1 0 28a14 14 0 1 1 0-28z',
  // a drum
  low: 'M3 9h26v14H3z',
}

const letters: Readonly<Record<Priority, string>> = { critical: 'C', high: 'H', medium: 'M', low: 'L' }
/** Where the letter sits in each shape. */
const baselines: Readonly<Record<Priority, number>> = { critical: 21.5, high: 26, medium: 21.5, low: 21.5 }

export function PriorityMark({ priority, word }: { readonly priority: Priority; readonly word: string }) {
  return (
    <span class={`priority ${priority}`}>
      <svg viewBox="0 0 32 32" width="30" height="30" aria-hidden="true">
        <path class="shape" d={shapes[priority]} />
        <text x="16" y={baselines[priority]} text-anchor="middle" font-size="15">
          {letters[priority]}
        </text>
      </svg>
      <span>{word}</span>
    </span>
  )
}

/** A full square is good, a half one uncertain, an empty crossed one bad; the word stands beside it. */
export function QualityMark({ quality, word }: { readonly quality: Quality; readonly word: string }) {
  return (
    <span class={`quality ${quality}`}>
      <svg viewBox="0 0 12 12" width="10" height="10" aria-hidden="true">
        <path class="edge" d="M1 1h10v10H1z" />
        {quality === 'good' && <path class="full" d="M1 1h10v10H1z" />}
        {quality === 'uncertain' && <path class="full" d="M1 1h10L1 11z" />}
        {quality === 'bad' && <path class="edge" d="M1 1l10 10M11 1L1 11" />}
      </svg>{' '}
      {word}
    </span>
  )
}

export type Standing = 'well' | 'amiss' | 'unknown'

/** A full ball runs, a broken square does not, an empty ring is not known. The word stands beside it. */
export function StandingMark({ standing }: { readonly standing: Standing }) {
  return (
    <svg class={`standing ${standing}`} viewBox="0 0 20 20" width="20" height="20" aria-hidden="true">
      {standing === 'well' && <circle cx="10" cy="10" r="7" class="full" />}
      {standing === 'amiss' && <path d="M3 3h14v14H3z M3 17L17 3" class="open" />}
      {standing === 'unknown' && <circle cx="10" cy="10" r="7" class="open" />}
    </svg>
  )
}
