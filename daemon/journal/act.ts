import type { EpochMs, Milliseconds } from '../units/time.js'

/** By which way a person answered. */
export type Via = 'page' | 'reply' | 'link' | 'button' | 'terminal' | 'script'

/** What people do. All of it comes in at the same door as readings and gets exactly one answer. */
export type Act =
  | {
      readonly do: 'acknowledge'
      readonly alarm: string
      readonly occurrence: number | null
      readonly by: string
      readonly via: Via
    }
  | {
      readonly do: 'shelve'
      readonly alarm: string
      readonly for: Milliseconds | null
      readonly oneShot: boolean
      readonly why: string
      readonly by: string
    }
  | { readonly do: 'unshelve'; readonly alarm: string; readonly by: string; readonly why: string }
  | { readonly do: 'reset'; readonly alarm: string; readonly by: string; readonly why: string }
  | {
      readonly do: 'out-of-service'
      readonly alarm: string
      readonly by: string
      readonly why: string
      readonly until: EpochMs | null
    }
  | { readonly do: 'return-to-service'; readonly alarm: string; readonly by: string; readonly why: string }
  | { readonly do: 'test'; readonly to: string; readonly by: string | null }
  | { readonly do: 'confirm'; readonly by: string }
