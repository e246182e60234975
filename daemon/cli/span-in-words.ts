import type { Milliseconds } from '../units/time.js'

const units = [
  ['d', 86_400_000],
  ['h', 3_600_000],
  ['min', 60_000],
  ['s', 1000],
] as const

/** `90 s` is `1 min 30 s`; the two largest units only. Zero is `0 s`. */
export function spanInWords(span: Milliseconds): string {
  const parts: string[] = []
  let left = Math.round(span / 1000) * 1000
  for (const [unit, length] of units) {
    const whole = Math.floor(left / length)
    if (whole > 0) parts.push(`${whole} ${unit}`)
    left -= whole * length
    if (parts.length === 2) break
  }
  return parts.length === 0 ? '0 s' : parts.join(' ')
}
