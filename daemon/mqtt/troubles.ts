import type { BrokerTrouble } from './options.js'

/** What may be wrong with a broker, each by itself. */
export type TroubleKind = 'connection' | 'subscription' | 'publishing'

export interface Troubles {
  /** Null: this is all right now. */
  set(kind: TroubleKind, why: string | null): void
}

/** Puts the single troubles together and tells when the whole changes: broken (why), or all well again. */
export function troubles(tell: (trouble: BrokerTrouble) => void): Troubles {
  const present = new Map<TroubleKind, string>()
  let told: string | null = null
  return {
    set(kind, why) {
      if (why === null) present.delete(kind)
      else present.set(kind, why)
      const whole = [...present.values()].join('; ')
      if (whole === told) return
      told = whole
      tell({
        of: 'broker',
        broken: present.size > 0,
        why: whole === '' ? 'the broker is there again' : whole,
      })
    },
  }
}
